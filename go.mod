module whistlestop

go 1.26
