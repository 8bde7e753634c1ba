package agent

import "context"

// openPage has the desk page written and opened, unless that is on its way.
func (l *loop) openPage() {
	if l.voice.paging {
		return
	}
	l.voice.paging = true
	write := l.o.Page
	errand(l.ctx, &l.hands, nothing{}, func(ctx context.Context, _ nothing) (nothing, error) {
		return nothing{}, write(ctx)
	}, l.answers.page)
}

// onPage takes how writing the desk page ended.
func (l *loop) onPage(a answer[nothing, nothing]) {
	l.voice.paging = false
	var t tidings
	if a.err != nil {
		t.begin(pageTrouble, "", "Desk page: "+a.err.Error())
	} else {
		t.end(pageTrouble, "")
	}
	l.tell(t)
}
