import { ALL_TANKS, defineClass } from './define'

export const sterilising = [
  defineClass({
    slug: 'uv-steriliser',
    name: 'UV steriliser',
    plainName: 'UV unit',
    tanks: ALL_TANKS,
    modes: {
      // Counted from its switch-on hours against the rating on the lamp; 8,000 to 9,000 hours are about 52 weeks of running day and night (common practice, no source).
      'lamp-past-hours': {
        name: 'Lamp past its rated hours',
        sign: 'burning hours reach the rating on the lamp',
        weeks: 52,
        shape: 3,
        look: 'measured',
        mark: 'CP',
      },
      'sleeve-coated': { name: 'Sleeve coated', sign: 'film on the quartz', weeks: 26, shape: 2, look: 'opened' },
    },
    tasks: {
      'replace-lamp': {
        name: 'Fit a new lamp',
        renews: ['lamp-past-hours'],
        minutes: 20,
        opens: true,
        cautions: ['uv-lamp', 'lamp-mercury'],
      },
      'clean-sleeve': {
        name: 'Clean the sleeve',
        renews: ['sleeve-coated'],
        minutes: 20,
        opens: true,
        cautions: ['uv-lamp', 'acid'],
      },
    },
  }),
  defineClass({
    slug: 'ozone-generator',
    name: 'Ozone generator',
    plainName: 'ozone unit',
    tanks: ['fish-only-marine'],
    modes: {
      // The notes give no figure: both are placeholders from memory until the business has records.
      'output-low': { name: 'Output low', sign: 'redox does not rise', weeks: 78, shape: 2, look: 'measured' },
      'dryer-spent': {
        name: 'Air dryer spent',
        sign: 'indicator changed colour',
        weeks: 8,
        shape: 2.5,
        look: 'running',
      },
    },
    tasks: {
      'service-cell': {
        name: 'Service the cell',
        renews: ['output-low'],
        minutes: 20,
        opens: true,
        cautions: ['plug-out', 'ozone'],
      },
      'change-dryer': { name: 'Change the drying agent', renews: ['dryer-spent'], minutes: 8, cautions: ['ozone'] },
    },
  }),
]
