package autostart

import "strings"

// desktopEntry is the entry of an autostart folder (freedesktop.org, Desktop
// Entry Specification 1.5).
func desktopEntry(exe string, args []string) string {
	return "[Desktop Entry]\n" +
		"Type=Application\n" +
		"Name=Lampblack\n" +
		"Comment=Says when a print will come out dark\n" +
		"Exec=" + execLine(exe, args) + "\n" +
		"Terminal=false\n" +
		"NoDisplay=true\n"
}

// execLine quotes every word: first as the Exec key wants it, then, since that is
// a string value, for the file.
func execLine(exe string, args []string) string {
	var words []string
	for _, w := range append([]string{exe}, args...) {
		// Within quotes the key escapes ", `, $ and \; a % begins a field code.
		w = strings.NewReplacer(`\`, `\\`, `"`, `\"`, "`", "\\`", "$", `\$`, "%", "%%").Replace(w)
		words = append(words, `"`+w+`"`)
	}
	return strings.NewReplacer(`\`, `\\`, "\n", `\n`, "\t", `\t`, "\r", `\r`).Replace(strings.Join(words, " "))
}

// readEntry tells from an entry's text whether it starts anything, and what.
func readEntry(text string) (on bool, runs string) {
	on = true
	for line := range strings.Lines(text) {
		key, value, _ := strings.Cut(strings.TrimSpace(line), "=")
		value = strings.TrimSpace(value)
		switch strings.TrimSpace(key) {
		case "Exec":
			runs = value
		case "Hidden": // how desktops let the user switch an entry off
			on = on && value != "true"
		case "X-GNOME-Autostart-enabled":
			on = on && value != "false"
		}
	}
	return on && runs != "", runs
}
