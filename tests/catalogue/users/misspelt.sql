-- title: misspelt
SELEC 1
