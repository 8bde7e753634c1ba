package autostart

import (
	"encoding/xml"
	"strings"
)

// agentLabel names the launch agent.
const agentLabel = "lampblack"

// launchAgent is the property list of a launch agent (macOS: launchd.plist(5)):
// started at login in a graphical session, and never again by itself: to keep it alive
// would bring it back after an error that it has told of, too, every ten seconds.
func launchAgent(exe string, args []string) string {
	var words strings.Builder
	for _, w := range append([]string{exe}, args...) {
		words.WriteString("\t\t<string>" + inXML(w) + "</string>\n")
	}
	return xml.Header + `<!DOCTYPE plist PUBLIC "-//Apple//DTD PLIST 1.0//EN" "http://www.apple.com/DTDs/PropertyList-1.0.dtd">
<plist version="1.0">
<dict>
	<key>Label</key>
	<string>` + agentLabel + `</string>
	<key>ProgramArguments</key>
	<array>
` + words.String() + `	</array>
	<key>RunAtLoad</key>
	<true/>
	<key>LimitLoadToSessionType</key>
	<string>Aqua</string>
	<key>ProcessType</key>
	<string>Background</string>
</dict>
</plist>
`
}

func inXML(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a Builder takes everything
	return b.String()
}
