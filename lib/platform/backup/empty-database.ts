import type { Client } from 'pg'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { listTables, sqlName } from './tables'

/** How long we wait for others to let go of a table that should be empty. */
const WAIT = '15s'

/**
 * Inside a transaction: refuses a database that holds data, and takes everything of ours out of one that holds none, so that
 * its schema can be made anew as an archive had it. What belongs to an extension stays.
 * Errors: OperatorError where there are rows, or where somebody is at work on the tables.
 */
export async function clearEmptyDatabase(client: Client): Promise<void> {
  await client.query(`set local lock_timeout = '${WAIT}'`)
  try {
    for (const table of await listTables(client)) {
      const name = sqlName(client, table)
      await client.query(`alter table ${name} no force row level security`) // else its owner sees no row
      const { rowCount } = await client.query(`select 1 from ${name} limit 1`)
      if (rowCount)
        throw new OperatorError(
          'This database already holds data. A backup is restored into an empty one, so that nothing is lost: set TANKROUND_DATA to a new folder, or DATABASE_URL to a new database.',
        )
    }
    await client.query(DROP_ALL)
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === '55P03')
      throw new OperatorError(
        'Somebody is at work on this database. Stop Tankround and try again; nothing was changed.',
      )
    throw error
  }
  await client.query('set local lock_timeout = 0')
}

/** Object by object: the schema `public` itself may belong to the server's owner. */
const DROP_ALL = `do $$
declare thing record;
begin
  drop schema if exists identity cascade;
  for thing in
    select case c.relkind when 'v' then 'view' when 'm' then 'materialized view' when 'S' then 'sequence' else 'table' end as kind,
           c.oid::regclass::text as name
      from pg_class c where c.relnamespace = 'public'::regnamespace and c.relkind in ('r', 'p', 'v', 'm', 'S')
       and not exists (select 1 from pg_depend d where d.objid = c.oid and d.deptype in ('e', 'i', 'a'))
     order by c.relkind <> 'v', c.relkind
  loop
    execute format('drop %s if exists %s cascade', thing.kind, thing.name);
  end loop;
  for thing in
    select p.oid::regprocedure::text as name from pg_proc p where p.pronamespace = 'public'::regnamespace
       and not exists (select 1 from pg_depend d where d.objid = p.oid and d.deptype = 'e')
  loop
    execute format('drop routine if exists %s cascade', thing.name);
  end loop;
  for thing in
    select t.oid::regtype::text as name from pg_type t
     where t.typnamespace = 'public'::regnamespace and t.typtype in ('e', 'd', 'r')
       and not exists (select 1 from pg_depend d where d.objid = t.oid and d.deptype = 'e')
  loop
    execute format('drop type if exists %s cascade', thing.name);
  end loop;
end $$`
