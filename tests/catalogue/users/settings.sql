-- title: settings
SELECT set_config('threads', '4') AS a
