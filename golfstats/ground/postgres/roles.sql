-- The two roles of the service. A superuser runs this once for each server: the embedded server
-- at its first start, docker-compose at the database's, an operator by hand (psql -f).
-- The owner migrates; the application role reads and writes rows and obeys row-level security.
DO $$
BEGIN
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'golfstats_owner') THEN
        CREATE ROLE golfstats_owner LOGIN CREATEDB NOSUPERUSER NOBYPASSRLS;
    END IF;
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'golfstats_app') THEN
        CREATE ROLE golfstats_app LOGIN NOSUPERUSER NOBYPASSRLS;
    END IF;
END
$$;
