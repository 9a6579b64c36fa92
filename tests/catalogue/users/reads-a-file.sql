-- title: reads-a-file
SELECT * FROM read_text('/etc/hostname')
