-- Why: a sign-in is a row that can be listed and ended, not only a signed cookie; tries are slowed down by account too;
--      what happens at the door leaves a trace; and the role of the business data can no longer become the role that
--      reads password hashes: what needs both is one of the functions below. Audit rows name whoever wrote them.
-- Kind: expand (three tables, seven functions), and one policy drawn tighter.   Lock: moments, new tables only.
-- The version before: runs on, but its sign-ins need the identity role, which `npm start` of this version takes from the
--      application's login. Everybody signs in once more: the old cookies name no session.
-- Way back: DROP the three tables and the functions, GRANT tankround_identity to the application's login again.

CREATE TABLE "identity"."session" (
    "id" UUID NOT NULL,
    "login_id" UUID NOT NULL,
    "business_id" UUID NOT NULL,
    "membership_id" UUID NOT NULL,
    "device" TEXT NOT NULL DEFAULT '',
    "address_hash" TEXT NOT NULL DEFAULT '',
    "made_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "last_seen_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "ends_at" TIMESTAMPTZ(3) NOT NULL,
    "ended_at" TIMESTAMPTZ(3),

    CONSTRAINT "session_pkey" PRIMARY KEY ("id")
);
CREATE INDEX "session_login_id_idx" ON "identity"."session"("login_id");
CREATE INDEX "session_membership_id_idx" ON "identity"."session"("membership_id");
ALTER TABLE "identity"."session" ADD CONSTRAINT "session_login_id_fkey" FOREIGN KEY ("login_id") REFERENCES "identity"."login"("id") ON DELETE CASCADE ON UPDATE RESTRICT;

CREATE TABLE "identity"."entry_event" (
    "id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "kind" TEXT NOT NULL,
    "login_id" UUID,
    "business_id" UUID,
    "membership_id" UUID,
    "session_id" UUID,
    "address_hash" TEXT NOT NULL DEFAULT '',
    "about" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "entry_event_pkey" PRIMARY KEY ("id")
);
CREATE INDEX "entry_event_at_idx" ON "identity"."entry_event"("at");
CREATE TRIGGER entry_event_append_only BEFORE UPDATE OR DELETE ON "identity"."entry_event" FOR EACH ROW EXECUTE FUNCTION refuse_change();

CREATE TABLE "identity"."sign_in_delay" (
    "account_hash" TEXT NOT NULL,
    "failures" INTEGER NOT NULL,
    "last_at" TIMESTAMPTZ(3) NOT NULL,
    "next_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "sign_in_delay_pkey" PRIMARY KEY ("account_hash")
);

GRANT SELECT, INSERT, UPDATE, DELETE ON "identity"."session", "identity"."sign_in_delay" TO tankround_identity;
GRANT SELECT, INSERT ON "identity"."entry_event" TO tankround_identity;

-- Whoever writes an audit row writes it under their own name (the worker under nobody's).
DROP POLICY audit_office ON audit;
CREATE POLICY audit_office_reads ON audit FOR SELECT TO tankround_office USING (business_id = (SELECT current_business()));
CREATE POLICY audit_office_writes ON audit FOR INSERT TO tankround_office
  WITH CHECK (business_id = (SELECT current_business()) AND person_id IS NOT DISTINCT FROM (SELECT current_person()));

-- What needs a business and its logins at once. Each function runs as the identity role, is confined to the business of
-- the transaction, and is all of the identity that the office can reach. No name in them is looked up along a path that
-- a caller could set.

-- Whether somebody of this business signs in with this address already.
CREATE FUNCTION identity.signs_in_here(wanted text) RETURNS boolean
  LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
  SELECT EXISTS (SELECT 1 FROM identity.login l JOIN public.membership m ON m.login_id = l.id
    WHERE l.email = wanted AND m.revoked_at IS NULL AND m.business_id = public.current_business())
$$;

-- Writes an invitation to an open membership of this business; earlier ones to it stop working.
CREATE FUNCTION identity.write_invitation(link uuid, token_hash text, email text, membership uuid, expires_at timestamptz) RETURNS boolean
  LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
BEGIN
  IF NOT EXISTS (SELECT 1 FROM public.membership m WHERE m.business_id = public.current_business() AND m.id = membership
                 AND m.login_id IS NULL AND m.revoked_at IS NULL) THEN
    RETURN false;
  END IF;
  DELETE FROM identity.one_time_link l WHERE l.purpose = 'invitation' AND l.used_at IS NULL AND l.membership_id = membership;
  INSERT INTO identity.one_time_link (id, purpose, token_hash, business_id, membership_id, email, expires_at)
    VALUES (link, 'invitation', token_hash, public.current_business(), membership, email, expires_at);
  RETURN true;
END $$;

-- Writes a link for a new password of somebody of this business: 'written'; 'not-found'; or 'elsewhere-too' where the
-- sign-in opens another business, whose people have not agreed to it. The login's lock keeps a joining elsewhere waiting.
CREATE FUNCTION identity.write_reset_link(link uuid, token_hash text, membership uuid, expires_at timestamptz) RETURNS text
  LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE login identity.login;
BEGIN
  SELECT l.* INTO login FROM identity.login l JOIN public.membership m ON m.login_id = l.id
    WHERE m.business_id = public.current_business() AND m.id = membership AND m.revoked_at IS NULL FOR UPDATE OF l;
  IF login.id IS NULL THEN RETURN 'not-found'; END IF;
  IF EXISTS (SELECT 1 FROM public.membership m WHERE m.login_id = login.id AND m.revoked_at IS NULL
             AND m.business_id <> public.current_business()) THEN
    RETURN 'elsewhere-too';
  END IF;
  DELETE FROM identity.one_time_link l WHERE l.purpose = 'reset' AND l.used_at IS NULL AND l.login_id = login.id;
  INSERT INTO identity.one_time_link (id, purpose, token_hash, login_id, business_id, membership_id, email, expires_at)
    VALUES (link, 'reset', token_hash, login.id, public.current_business(), membership, login.email, expires_at);
  RETURN 'written';
END $$;

-- Ends links to and sessions of these memberships of this business.
CREATE FUNCTION identity.end_access(memberships uuid[]) RETURNS void
  LANGUAGE sql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
  DELETE FROM identity.one_time_link l WHERE l.business_id = public.current_business() AND l.membership_id = ANY (memberships);
  UPDATE identity.session s SET ended_at = now()
    WHERE s.business_id = public.current_business() AND s.membership_id = ANY (memberships) AND s.ended_at IS NULL;
$$;

-- Parts a person of this business from their login, and deletes a login that opens nothing any more.
CREATE FUNCTION identity.forget_logins_of(person uuid) RETURNS void
  LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE parted uuid[];
BEGIN
  SELECT array_agg(DISTINCT m.login_id) INTO parted FROM public.membership m
    WHERE m.business_id = public.current_business() AND m.person_id = person AND m.login_id IS NOT NULL;
  UPDATE public.membership m SET login_id = NULL WHERE m.business_id = public.current_business() AND m.person_id = person;
  DELETE FROM identity.one_time_link l WHERE l.login_id = ANY (parted)
    AND NOT EXISTS (SELECT 1 FROM public.membership m WHERE m.login_id = l.login_id);
  DELETE FROM identity.login l WHERE l.id = ANY (parted) AND NOT EXISTS (SELECT 1 FROM public.membership m WHERE m.login_id = l.id);
END $$;

-- How people of this business get in: the address they sign in with, or the newest open invitation.
CREATE FUNCTION identity.access_of(memberships uuid[])
  RETURNS TABLE (membership_id uuid, email text, invited_email text, invited_until timestamptz)
  LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
  SELECT m.id, l.email, i.email, i.expires_at FROM public.membership m
    LEFT JOIN identity.login l ON l.id = m.login_id
    LEFT JOIN LATERAL (SELECT o.email, o.expires_at FROM identity.one_time_link o WHERE o.purpose = 'invitation'
      AND o.used_at IS NULL AND o.membership_id = m.id ORDER BY o.created_at DESC LIMIT 1) i ON true
    WHERE m.business_id = public.current_business() AND m.id = ANY (memberships)
$$;

-- The login of the very first owner, once: two at the same moment wait for each other, and the second finds a business.
CREATE FUNCTION identity.make_first_login(login uuid, email text, password_hash text) RETURNS boolean
  LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
BEGIN
  PERFORM pg_advisory_xact_lock(7310282);
  IF EXISTS (SELECT 1 FROM public.business) THEN RETURN false; END IF;
  INSERT INTO identity.login (id, email, password_hash) VALUES (login, email, password_hash);
  RETURN true;
END $$;

-- Handed to the identity role, under which they run; nobody but the office may call them.
GRANT tankround_identity TO CURRENT_USER;
GRANT CREATE ON SCHEMA identity TO tankround_identity;
DO $$
DECLARE signature regprocedure;
BEGIN
  FOR signature IN SELECT p.oid::regprocedure FROM pg_proc p JOIN pg_namespace n ON n.oid = p.pronamespace
                   WHERE n.nspname = 'identity' AND p.prosecdef LOOP
    EXECUTE format('ALTER FUNCTION %s OWNER TO tankround_identity', signature);
    EXECUTE format('REVOKE ALL ON FUNCTION %s FROM PUBLIC', signature);
    EXECUTE format('GRANT EXECUTE ON FUNCTION %s TO tankround_office', signature);
  END LOOP;
END $$;
REVOKE CREATE ON SCHEMA identity FROM tankround_identity;
