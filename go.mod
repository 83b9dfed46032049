module ohmward

go 1.26
