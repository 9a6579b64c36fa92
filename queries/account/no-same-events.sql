-- Few are written whether they come out as they were or not.
CREATE OR REPLACE TEMP MACRO is_same_drop(id) AS false;
CREATE OR REPLACE TEMP MACRO is_same_flight(id) AS false;
CREATE OR REPLACE TEMP MACRO is_same_load(id) AS false;
