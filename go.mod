module lampblack

go 1.26.8

toolchain go1.26.9

require (
	fyne.io/systray v1.12.2
	github.com/BurntSushi/toml v1.6.0
	github.com/alecthomas/kong v1.17.0
	github.com/bep/imagemeta v1.0.1
	github.com/fsnotify/fsnotify v1.10.1
	github.com/godbus/dbus/v5 v5.2.4
	github.com/klauspost/compress v1.20.4
	github.com/kovidgoyal/imaging v1.9.0
	github.com/rogpeppe/go-internal v1.16.0
	golang.org/x/image v0.47.0
	golang.org/x/sys v0.50.0
	gonum.org/v1/gonum v0.17.0
)

require (
	github.com/kovidgoyal/go-parallel v1.1.1 // indirect
	golang.org/x/exp/typeparams v0.0.0-20231108232855-2478ac86f678 // indirect
	golang.org/x/mod v0.41.0 // indirect
	golang.org/x/sync v0.24.0 // indirect
	golang.org/x/text v0.43.0 // indirect
	golang.org/x/tools v0.51.0 // indirect
	honnef.co/go/tools v0.8.2 // indirect
)

tool honnef.co/go/tools/cmd/staticcheck
