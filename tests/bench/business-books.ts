/**
 * Three years of invoices of the large invented business: one a month for each client with a fee for each tank and the parts used,
 * paid for the most part, a few credited. The running month stands on no invoice yet.
 */
import type { Client } from 'pg'
import { chance, idOf } from './large-business'

const MONTHS = 27
const FEE_MINOR = 4200

/** Writes it in the session that wrote the business. Errors: those of Postgres. */
export async function writeBooks(client: Client, businessId: string, { today }: { today: string }): Promise<void> {
  const run = (text: string, values: unknown[] = []) => client.query(text, values)
  await run(`update agreement set monthly_fee_minor = ${FEE_MINOR}, created_at = starts_on where business_id = $1`, [
    businessId,
  ])
  await run(
    `create temp table month as select n, first_on, (first_on + interval '1 month')::date as issued_on, (first_on + interval '1 month')::date - 1 as last_on
     from (select n, (date_trunc('month', $1::date) - n * interval '1 month')::date as first_on from generate_series(1, ${MONTHS}) n) counted`,
    [today],
  )
  const invoice = idOf('issued_on', "'invoice' || client_id || first_on")
  // Lines first: those of an issued invoice take no others.
  await run(
    `insert into invoice_line (business_id, id, client_id, invoice_id, position, description, quantity, unit, unit_price, net_minor, tax_category,
       tax_rate, place_name, service_start, service_end, tank_id, agreement_id)
     select $1, ${idOf('issued_on', "'fee' || agreement.id || first_on")}, client_id, ${invoice}, row_number() over (partition by client_id, n order by agreement.id),
       'Care of the tank in ' || to_char(first_on, 'FMMonth YYYY'), 1, 'month', ${FEE_MINOR} / 100.0, ${FEE_MINOR}, 'S', 20, 'Site', first_on, last_on,
       tank_id, agreement.id
     from agreement, month where business_id = $1 and agreement.starts_on <= month.first_on`,
    [businessId],
  )
  await run(
    `insert into invoice_line (business_id, id, client_id, invoice_id, position, description, quantity, unit_price, net_minor, tax_category,
       tax_rate, place_name, service_start, service_end, tank_id, visit_id, part_used_id)
     select $1, ${idOf('issued_on', "'part' || used.id")}, client_id, ${invoice}, 100 + row_number() over (partition by client_id, n order by used.id),
       'Part', quantity, price.unit_price, round(price.unit_price * quantity * 100), 'S', 20, 'Site', used_on, used_on, tank_id, null, used.id
     from part_used used join month on used.used_on between month.first_on and month.last_on
     join price_item price on price.business_id = used.business_id and price.id = used.price_item_id where used.business_id = $1`,
    [businessId],
  )
  await run(
    `insert into charge_line (business_id, id, client_id, line_id, kind, subject_id, period, net_minor, settles_minor, due_minor, facts)
     select $1, ${idOf('line.service_start', "'charge' || line.id")}, line.client_id, line.id,
       case when part_used_id is null then 'agreement_month' else 'part' end, coalesce(part_used_id, line.tank_id),
       case when part_used_id is null then to_char(line.service_start, 'YYYY-MM') else '' end, net_minor, net_minor, net_minor,
       case when part_used_id is null then 'full' else concat_ws(' ', used.quantity, used.billable::text, coalesce(used.price_item_id::text, used.description)) end
     from invoice_line line left join part_used used on used.business_id = $1 and used.id = line.part_used_id where line.business_id = $1`,
    [businessId],
  )
  await run(
    `create temp table billed as select line.client_id, line.invoice_id, month.*, sum(line.net_minor)::int as net_minor,
       round(sum(line.net_minor) * 0.2)::int as tax_minor, row_number() over (order by month.issued_on, line.client_id) as number
     from invoice_line line join month on line.service_start between month.first_on and month.last_on
     where line.business_id = $1 group by line.client_id, line.invoice_id, month.n, month.first_on, month.issued_on, month.last_on`,
    [businessId],
  )
  await run(
    `insert into invoice (business_id, id, client_id, document_type, state, number, issued_on, due_on, service_start, service_end, currency, seller,
       buyer, tax_breakdown, net_minor, tax_minor, gross_minor, created_at, issued_at)
     select $1, invoice_id, client_id, 'invoice', 'issued', 'R' || lpad(number::text, 5, '0'), issued_on, issued_on + 14, first_on, last_on, 'GBP',
       '{"name": "Wide Waters", "address": "1 Long Quay", "taxNumber": "", "contact": "", "iban": "", "bic": "", "accountName": "", "style": {"locale": "en-GB", "pageSize": "A4"}}',
       jsonb_build_object('name', (select name from client where client.business_id = $1 and client.id = client_id), 'address', '2 Short Lane', 'taxNumber', '', 'contact', ''),
       jsonb_build_array(jsonb_build_object('category', 'S', 'ratePercent', '20', 'exemptionReason', null, 'taxableMinor', net_minor, 'taxMinor', tax_minor)),
       net_minor, tax_minor, net_minor + tax_minor, issued_on, issued_on
     from billed order by number`,
    [businessId],
  )
  await run(
    `create temp table settled as select client_id, invoice_id, issued_on + (${chance("invoice_id::text || 'days'")} * 28)::int as received_on,
       net_minor + tax_minor as amount_minor, ${idOf('issued_on', "'payment' || invoice_id")} as payment_id, ${idOf('issued_on', "'part' || invoice_id")} as part_id
     from billed where ${chance("invoice_id::text || 'paid'")} < case when n = 1 then 0.5 else 0.985 end
       and issued_on + (${chance("invoice_id::text || 'days'")} * 28)::int <= $1::date order by issued_on, invoice_id`,
    [today],
  )
  await run(
    `insert into payment (business_id, id, client_id, currency, received_on, amount_minor, method)
     select $1, payment_id, client_id, 'GBP', received_on, amount_minor, 'bank transfer' from settled`,
    [businessId],
  )
  await run(
    `insert into allocation (business_id, id, client_id, invoice_id, payment_id, amount_minor)
     select $1, part_id, client_id, invoice_id, payment_id, amount_minor from settled`,
    [businessId],
  )
  await writeCredits(run, businessId)
  await run(
    `insert into number_series (business_id, id, document_type, prefix, next_number)
     select $1, ${idOf("date '2021-01-01'", "'series' || document_type")}, document_type, min(left(number, 1)), count(*) + 1
     from invoice where business_id = $1 group by document_type`,
    [businessId],
  )
}

/** One invoice in a hundred has its first line credited. */
async function writeCredits(run: (text: string, values?: unknown[]) => Promise<unknown>, businessId: string) {
  await run(
    `create temp table credited as select billed.*, line.id as line_id, line.net_minor as line_minor,
       ${idOf('billed.issued_on', "'note' || billed.invoice_id")} as note_id, row_number() over (order by billed.number) as place
     from billed join invoice_line line on line.business_id = $1 and line.invoice_id = billed.invoice_id and line.position = 1
     where ${chance("billed.invoice_id::text || 'credit'")} < 0.01`,
    [businessId],
  )
  await run(
    `insert into invoice_line (business_id, id, client_id, invoice_id, position, description, quantity, unit, unit_price, net_minor, tax_category,
       tax_rate, credits_line_id, credit_effect)
     select $1, ${idOf('issued_on', "'credit' || line_id")}, client_id, note_id, 1, 'Care of the tank', 1, 'month', line_minor / 100.0, line_minor, 'S', 20,
       line_id, 'waive' from credited`,
    [businessId],
  )
  await run(
    `insert into charge_line (business_id, id, client_id, line_id, kind, subject_id, period, net_minor, settles_minor, due_minor, facts)
     select $1, ${idOf('issued_on', "'credited' || charge.id")}, charge.client_id, ${idOf('issued_on', "'credit' || credited.line_id")}, charge.kind,
       charge.subject_id, charge.period, -charge.net_minor, 0, charge.due_minor, charge.facts
     from credited join charge_line charge on charge.business_id = $1 and charge.line_id = credited.line_id`,
    [businessId],
  )
  await run(
    `insert into invoice (business_id, id, client_id, document_type, state, number, issued_on, currency, seller, buyer, tax_breakdown, net_minor,
       tax_minor, gross_minor, corrects_invoice_id, created_at, issued_at)
     select $1, note_id, credited.client_id, 'credit_note', 'issued', 'K' || lpad(place::text, 5, '0'), credited.issued_on, 'GBP', whole.seller, whole.buyer,
       jsonb_build_array(jsonb_build_object('category', 'S', 'ratePercent', '20', 'exemptionReason', null, 'taxableMinor', line_minor,
         'taxMinor', round(line_minor * 0.2))),
       line_minor, round(line_minor * 0.2), round(line_minor * 1.2), credited.invoice_id, credited.issued_on, credited.issued_on
     from credited join invoice whole on whole.business_id = $1 and whole.id = credited.invoice_id`,
    [businessId],
  )
}
