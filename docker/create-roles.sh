#!/usr/bin/env bash
# Run once by the database's image on an empty volume: the owner, who migrates, the service, which may not, and the database.
set -euo pipefail
psql --set=ON_ERROR_STOP=1 --username "$POSTGRES_USER" --dbname postgres \
  --set=owner_password="$OWNER_PASSWORD" --set=service_password="$SERVICE_PASSWORD" <<'SQL'
CREATE ROLE gaugebook_owner LOGIN NOSUPERUSER NOCREATEDB CREATEROLE NOBYPASSRLS PASSWORD :'owner_password';
CREATE ROLE gaugebook_service LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOBYPASSRLS PASSWORD :'service_password';
CREATE DATABASE gaugebook OWNER gaugebook_owner TEMPLATE template0 ENCODING 'UTF8';
REVOKE ALL ON DATABASE gaugebook FROM PUBLIC;
GRANT CONNECT ON DATABASE gaugebook TO gaugebook_service;
SQL
