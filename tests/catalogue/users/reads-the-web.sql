-- title: reads-the-web
SELECT * FROM read_csv('https://example.org/x.csv')
