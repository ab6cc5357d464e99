-- Which login a membership belongs to is decided by whoever proves a link, as the identity role. The office changes what somebody may do, never who they are.
REVOKE UPDATE ON membership FROM tankround_office;
GRANT UPDATE (roles, client_id, revoked_at) ON membership TO tankround_office;
