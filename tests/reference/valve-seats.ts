/**
 * Days at which valve seats were replaced on 41 diesel engines of one fleet, 48 replacements: Nelson & Doganaksoy (1989); Nelson (1995), Technometrics 37: 147–157; Meeker & Escobar (1998),
 * Statistical Methods for Reliability Data, chapter 16; also the data set `valveSeats` of R's package reda. Two engines had two replacements on one day.
 * Means and robust standard errors (Lawless & Nadeau 1995) by the books' formulas in R, checked with survival 3.5-3, `survfit(…, id, cluster)`.
 */
export const VALVE_SEATS: {
  engines: readonly { observedDays: number; replacedOnDay: readonly number[] }[]
  days: readonly number[]
  mean: readonly number[]
  standardError: readonly number[]
} = {
  engines: [
    { observedDays: 761, replacedOnDay: [] },
    { observedDays: 759, replacedOnDay: [] },
    { observedDays: 667, replacedOnDay: [98] },
    { observedDays: 667, replacedOnDay: [326, 653, 653] },
    { observedDays: 665, replacedOnDay: [] },
    { observedDays: 667, replacedOnDay: [84] },
    { observedDays: 663, replacedOnDay: [87] },
    { observedDays: 653, replacedOnDay: [646] },
    { observedDays: 653, replacedOnDay: [92] },
    { observedDays: 651, replacedOnDay: [] },
    { observedDays: 650, replacedOnDay: [258, 328, 377, 621] },
    { observedDays: 648, replacedOnDay: [61, 539] },
    { observedDays: 644, replacedOnDay: [254, 276, 298, 640] },
    { observedDays: 642, replacedOnDay: [76, 538] },
    { observedDays: 641, replacedOnDay: [635] },
    { observedDays: 649, replacedOnDay: [349, 404, 561] },
    { observedDays: 631, replacedOnDay: [] },
    { observedDays: 596, replacedOnDay: [] },
    { observedDays: 614, replacedOnDay: [120, 479] },
    { observedDays: 582, replacedOnDay: [323, 449] },
    { observedDays: 589, replacedOnDay: [139, 139] },
    { observedDays: 593, replacedOnDay: [] },
    { observedDays: 589, replacedOnDay: [573] },
    { observedDays: 606, replacedOnDay: [165, 408, 604] },
    { observedDays: 594, replacedOnDay: [249] },
    { observedDays: 613, replacedOnDay: [344, 497] },
    { observedDays: 595, replacedOnDay: [265, 586] },
    { observedDays: 389, replacedOnDay: [166, 206, 348] },
    { observedDays: 601, replacedOnDay: [] },
    { observedDays: 601, replacedOnDay: [410, 581] },
    { observedDays: 611, replacedOnDay: [] },
    { observedDays: 608, replacedOnDay: [] },
    { observedDays: 587, replacedOnDay: [] },
    { observedDays: 603, replacedOnDay: [367] },
    { observedDays: 585, replacedOnDay: [202, 563, 570] },
    { observedDays: 587, replacedOnDay: [] },
    { observedDays: 578, replacedOnDay: [] },
    { observedDays: 578, replacedOnDay: [] },
    { observedDays: 586, replacedOnDay: [] },
    { observedDays: 585, replacedOnDay: [] },
    { observedDays: 582, replacedOnDay: [] },
  ],
  days: [
    61, 76, 84, 87, 92, 98, 120, 139, 165, 166, 202, 206, 249, 254, 258, 265, 276, 298, 323, 326, 328, 344, 348, 349,
    367, 377, 404, 408, 410, 449, 479, 497, 538, 539, 561, 563, 570, 573, 581, 586, 604, 621, 635, 640, 646, 653,
  ],
  mean: [
    0.0243902439024, 0.0487804878049, 0.0731707317073, 0.0975609756098, 0.121951219512, 0.146341463415, 0.170731707317,
    0.219512195122, 0.243902439024, 0.268292682927, 0.292682926829, 0.317073170732, 0.341463414634, 0.365853658537,
    0.390243902439, 0.414634146341, 0.439024390244, 0.463414634146, 0.487804878049, 0.512195121951, 0.536585365854,
    0.560975609756, 0.585365853659, 0.609756097561, 0.634146341463, 0.658536585366, 0.683536585366, 0.708536585366,
    0.733536585366, 0.758536585366, 0.783536585366, 0.808536585366, 0.833536585366, 0.858536585366, 0.883536585366,
    0.908536585366, 0.933536585366, 0.958536585366, 0.98485237484, 1.01426413955, 1.059718685, 1.11854221441,
    1.18104221441, 1.24354221441, 1.32046529133, 1.54268751356,
  ],
  standardError: [
    0.0240909657719, 0.0336412028926, 0.0406702311366, 0.046339897904, 0.051104655788, 0.0551993371073, 0.0587641817722,
    0.0732698119581, 0.0754166519536, 0.077316613401, 0.0789875135203, 0.08752682526, 0.0886796270923, 0.0896559459867,
    0.0904614962773, 0.0911008080924, 0.097857965568, 0.109607275665, 0.109739571761, 0.109739571761, 0.114906583249,
    0.114653763178, 0.124249608476, 0.123781623354, 0.123194141996, 0.131841648287, 0.135938957261, 0.139804613584,
    0.139142005384, 0.142702233831, 0.14606884479, 0.149254940609, 0.152271852863, 0.155129452563, 0.161747726199,
    0.164250591501, 0.170331842844, 0.168958143839, 0.171203597779, 0.17384432845, 0.185060988117, 0.207502883239,
    0.206908347287, 0.226324417629, 0.22850515495, 0.311656074751,
  ],
}
