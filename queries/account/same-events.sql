-- What comes out as it was. Of very many drops few come out otherwise than before: only those are written, and their flights and loads.
CREATE OR REPLACE TEMP TABLE same_drop AS
SELECT a."drop" FROM account."drop" a JOIN fresh_drop f ON f."drop" = a."drop"
WHERE a.dropped_at >= cut_at() AND a.dropped_at < end_at() AND is_kin(a.aircraft) AND hash(a) = hash(f);
CREATE OR REPLACE TEMP TABLE same_flight AS
SELECT a.flight FROM account.flight a JOIN scoped_flight f ON f.flight = a.flight
WHERE a.off_at >= cut_at() AND a.off_at < end_at() AND is_kin(a.aircraft) AND hash(a) = hash(f);
CREATE OR REPLACE TEMP TABLE same_load AS
SELECT a.load FROM account.load a JOIN fresh_load f ON f.load = a.load
WHERE a.loaded_at >= cut_at() AND a.loaded_at < end_at() AND is_kin(a.aircraft) AND hash(a) = hash(f);
CREATE OR REPLACE TEMP MACRO is_same_drop(id) AS id IN (FROM same_drop);
CREATE OR REPLACE TEMP MACRO is_same_flight(id) AS id IN (FROM same_flight);
CREATE OR REPLACE TEMP MACRO is_same_load(id) AS id IN (FROM same_load);
