//go:build desktop

package desktoptest

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/godbus/dbus/v5"
)

// Item is a tray item as a panel sees it.
type Item struct {
	t    testing.TB
	conn *dbus.Conn
	name string
}

// Item gives the tray item of a process, and waits for it.
func (s *Session) Item(pid int) *Item {
	s.t.Helper()
	name := fmt.Sprintf("org.kde.StatusNotifierItem-%d-1", pid)
	Wait(s.t, "the tray item "+name, func() bool { return s.HasOwner(name) })
	return &Item{t: s.t, conn: s.Connect(), name: name}
}

// Property is a property of the item, such as Id, ToolTip or IconPixmap.
func (i *Item) Property(name string) any {
	i.t.Helper()
	v, err := i.conn.Object(i.name, "/StatusNotifierItem").GetProperty("org.kde.StatusNotifierItem." + name)
	if err != nil {
		i.t.Fatalf("property %s of the tray item: %v", name, err)
	}
	return v.Value()
}

// Row is a row of the menu as a panel gets it.
type Row struct {
	ID        int32
	Text      string // as the user reads it
	Raw       string // as it comes, with marks for mnemonics
	Hidden    bool
	Enabled   bool
	Separator bool
	Checked   bool
	Rows      []Row
}

// Menu gives all rows. The first answer a process gives may lack the submenus.
func (i *Item) Menu() []Row {
	i.t.Helper()
	var revision uint32
	var root struct {
		ID       int32
		Props    map[string]dbus.Variant
		Children []dbus.Variant
	}
	err := i.conn.Object(i.name, "/StatusNotifierItem/menu").
		Call("com.canonical.dbusmenu.GetLayout", 0, int32(0), int32(-1), []string{}).Store(&revision, &root)
	if err != nil {
		i.t.Fatalf("the menu of the tray item: %v", err)
	}
	return rows(i.t, root.Children)
}

func rows(t testing.TB, children []dbus.Variant) []Row {
	t.Helper()
	var all []Row
	for _, child := range children {
		parts, ok := child.Value().([]any)
		if !ok || len(parts) != 3 {
			t.Fatalf("a row of the menu is %v", child)
		}
		props := parts[1].(map[string]dbus.Variant)
		r := Row{ID: parts[0].(int32), Enabled: true}
		r.Raw, _ = props["label"].Value().(string)
		r.Text = strings.ReplaceAll(r.Raw, "__", "_")
		if v, ok := props["visible"].Value().(bool); ok {
			r.Hidden = !v
		}
		if v, ok := props["enabled"].Value().(bool); ok {
			r.Enabled = v
		}
		r.Separator = props["type"].Value() == "separator"
		r.Checked = props["toggle-state"].Value() == int32(1)
		r.Rows = rows(t, parts[2].([]dbus.Variant))
		all = append(all, r)
	}
	return all
}

// Labels are the visible texts of the menu, or of the submenu whose title
// begins with parent.
func (i *Item) Labels(parent string) []string {
	i.t.Helper()
	var all []Row
	if parent == "" {
		all = i.Menu()
	} else {
		all = i.Row(parent).Rows
	}
	var texts []string
	for _, r := range all {
		if !r.Hidden && !r.Separator {
			texts = append(texts, r.Text)
		}
	}
	return texts
}

// Row is the row whose text begins with the last of path, in the submenu named
// by those before it. It waits for it: a submenu that is being made anew is empty
// for a moment.
func (i *Item) Row(path ...string) (r Row) {
	i.t.Helper()
	Wait(i.t, fmt.Sprintf("the row %q of the menu", path), func() bool {
		r = Row{Rows: i.Menu()}
		for _, title := range path {
			at := slices.IndexFunc(r.Rows, func(r Row) bool { return !r.Hidden && !r.Separator && strings.HasPrefix(r.Text, title) })
			if at < 0 {
				return false
			}
			r = r.Rows[at]
		}
		return true
	})
	return r
}

// Has tells whether the menu has a visible row with exactly this text.
func (i *Item) Has(text string) bool {
	i.t.Helper()
	return slices.Contains(i.Labels(""), text)
}

// Click clicks a row as a panel does.
func (i *Item) Click(path ...string) {
	i.t.Helper()
	r := i.Row(path...)
	err := i.conn.Object(i.name, "/StatusNotifierItem/menu").
		Call("com.canonical.dbusmenu.Event", 0, r.ID, "clicked", dbus.MakeVariant(int32(0)), uint32(0)).Err
	if err != nil {
		i.t.Fatalf("a click on %q: %v", path, err)
	}
}
