module gophernotescomparison

go 1.26.0

tool github.com/gopherdata/gophernotes

require (
	github.com/cosmos72/gomacro v0.0.0-20220530072503-c719ab5c40fc // indirect
	github.com/go-zeromq/goczmq/v4 v4.2.2 // indirect
	github.com/go-zeromq/zmq4 v0.14.1 // indirect
	github.com/gofrs/uuid v4.2.0+incompatible // indirect
	github.com/gopherdata/gophernotes v0.7.5 // indirect
	github.com/mattn/go-runewidth v0.0.13 // indirect
	github.com/peterh/liner v1.2.1 // indirect
	github.com/rivo/uniseg v0.2.0 // indirect
	golang.org/x/mod v0.5.1 // indirect
	golang.org/x/sync v0.0.0-20210220032951-036812b2e83c // indirect
	golang.org/x/sys v0.0.0-20211019181941-9d821ace8654 // indirect
	golang.org/x/tools v0.1.8 // indirect
	golang.org/x/xerrors v0.0.0-20200804184101-5ec99f83aff1 // indirect
)
