import { asOwner } from '../../setup/more-databases'

export type TableSum = { name: string; rows: number; sum: string | null }

/** Rows and a checksum of every table, made by Postgres and not by the code under test. */
export async function checksums(url: string): Promise<TableSum[]> {
  return asOwner(url, async (client) => {
    const { rows: tables } = await client.query<{ name: string; forced: boolean }>(
      `select n.nspname || '.' || quote_ident(c.relname) as name, c.relforcerowsecurity as forced
         from pg_class c join pg_namespace n on n.oid = c.relnamespace
        where c.relkind = 'r' and n.nspname in ('public', 'identity')
          and n.nspname || '.' || c.relname not in ('public._prisma_migrations', 'identity.rate_limit', 'identity.sign_in_delay', 'identity.session', 'identity.one_time_link')
        order by 1`,
    )
    await client.query('begin')
    const sums = []
    for (const { name, forced } of tables) {
      if (forced) await client.query(`alter table ${name} no force row level security`)
      // A sum of hashes, so that a table of any size needs no text of its own size.
      const { rows } = await client.query(
        `select count(*)::int as rows, sum(('x' || substr(md5(t::text), 1, 16))::bit(64)::bigint::numeric)::text as sum from ${name} t`,
      )
      sums.push({ name, ...rows[0] })
    }
    await client.query('rollback')
    return sums
  })
}

/** Constraints, triggers, row policies, functions and rights as the database describes them, and the migrations it has. */
export async function guardsOf(url: string): Promise<unknown[]> {
  return asOwner(url, async (client) => {
    const { rows } = await client.query(
      `select conrelid::regclass::text as on, conname::text as name, pg_get_constraintdef(oid) || convalidated as is from pg_constraint
        where connamespace in ('public'::regnamespace, 'identity'::regnamespace)
       union all select tgrelid::regclass::text, tgname::text, pg_get_triggerdef(oid) || tgenabled::text from pg_trigger where not tgisinternal
       union all select oid::regclass::text, relname::text, relrowsecurity::text || relforcerowsecurity::text || array(select unnest(relacl)::text order by 1)::text from pg_class
        where relkind in ('r', 'v') and relnamespace in ('public'::regnamespace, 'identity'::regnamespace) and relname <> '_prisma_migrations'
       union all select polrelid::regclass::text, polname::text, pg_get_expr(polqual, polrelid) || coalesce(pg_get_expr(polwithcheck, polrelid), '') from pg_policy
        where polname <> 'backup_reads_all'
       union all select indrelid::regclass::text, indexrelid::regclass::text, pg_get_indexdef(indexrelid) from pg_index
        where indrelid in (select oid from pg_class where relnamespace in ('public'::regnamespace, 'identity'::regnamespace))
       union all select 'function', proname::text, prosrc || array(select unnest(proacl)::text order by 1)::text from pg_proc
        where pronamespace in ('public'::regnamespace, 'identity'::regnamespace) and probin is null
       union all select 'migration', migration_name, checksum from _prisma_migrations where finished_at is not null
       order by 1, 2, 3`,
    )
    return rows
  })
}
