-- Nothing in the registry changed.
CREATE OR REPLACE TEMP TABLE fire_day(aircraft VARCHAR, day DATE);
CREATE OR REPLACE TEMP TABLE changed_fire AS FROM account.fire LIMIT 0;
CREATE OR REPLACE TEMP TABLE changed_mounting AS FROM account.mounting LIMIT 0;
