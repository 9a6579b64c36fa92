-- title: Every type with holes in it
-- params: count:number
-- columns:
--   n  number of the row
SELECT * FROM (
  SELECT i AS n,
    CASE WHEN i % 3 <> 0 THEN (i % 200 - 100)::TINYINT END AS tiny,
    CASE WHEN i % 5 <> 0 THEN (i - 3000)::SMALLINT END AS small,
    CASE WHEN i % 7 <> 0 THEN (i * 1000 - 3000000)::INTEGER END AS whole,
    CASE WHEN i % 2 <> 0 THEN (i % 250)::UTINYINT END AS small_positive,
    CASE WHEN i % 3 <> 1 THEN (4294967295 - i)::UINTEGER END AS large_positive,
    CASE WHEN i % 4 <> 0 THEN CASE WHEN i % 2 = 0 THEN 9007199254740991 - i ELSE i - 9007199254740991 END END AS big,
    CASE WHEN i % 6 <> 0 THEN CASE WHEN i % 2 = 0 THEN 9007199254740991 - i ELSE i - 9007199254740991 END::HUGEINT END AS huge,
    CASE WHEN i % 5 <> 1 THEN (i - 2500) / 7e0 END AS real,
    CASE WHEN i % 5 <> 2 THEN ((i - 2500) / 8e0)::FLOAT END AS half,
    CASE WHEN i % 3 <> 2 THEN ((i % 100 - 50) / 100)::DECIMAL(4, 2) END AS cents,
    CASE WHEN i % 4 <> 1 THEN ((i - 2500) / 100)::DECIMAL(9, 2) END AS coins,
    CASE WHEN i % 4 <> 2 THEN ((i - 2500) * 10000000001 / 1000000)::DECIMAL(18, 6) END AS price,
    CASE WHEN i % 4 <> 3 THEN ((i - 2500)::DECIMAL(38, 2) * 900000000000000) END AS fortune,
    CASE WHEN i % 3 <> 0 THEN i % 2 = 0 END AS flag,
    CASE WHEN i % 9 <> 0 THEN 'short ' || i % 50 END AS short_text,
    CASE WHEN i % 9 <> 1 THEN 'a much longer text, with a ü in it, number ' || i % 700 END AS long_text,
    CASE WHEN i % 9 <> 2 THEN repeat('é', (i % 9)::INTEGER) END AS growing_text,
    CASE WHEN i % 9 <> 3 THEN (['gel', 'foam', 'water'][i % 3 + 1])::ENUM('water', 'gel', 'foam') END AS kind,
    CASE WHEN i % 8 <> 0 THEN TIMESTAMP '1969-12-30 00:00:00.250' + to_seconds(i * 61) END AS moment,
    CASE WHEN i % 8 <> 1 THEN (TIMESTAMP '2026-07-04' + to_seconds(i))::TIMESTAMP_S END AS second,
    CASE WHEN i % 8 <> 2 THEN DATE '1969-12-01' + i::INTEGER END AS day,
    CASE WHEN i % 8 <> 3 THEN list_transform(range(i % 4), lambda x: 'item ' || x || repeat('-', (i % 20)::INTEGER)) END AS texts,
    CASE WHEN i % 8 <> 4 THEN range(i % 3) END AS numbers
  FROM range(coalesce($count, 5000)::BIGINT) t(i))
WHERE n % 11 <> 5
