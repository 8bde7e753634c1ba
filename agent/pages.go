package agent

// openPage has the desk page written and opened, unless that is on its way.
func (l *loop) openPage() {
	if l.paging {
		return
	}
	l.paging = true
	l.hands.Go(func() {
		err := l.o.Page(l.ctx)
		select {
		case l.paged <- err:
		case <-l.ctx.Done():
		}
	})
}

// onPaged takes how writing the desk page ended.
func (l *loop) onPaged(err error) {
	l.paging = false
	if err != nil {
		l.troubles.begin(pageTrouble, "", "Desk page: "+err.Error(), l.o.Now())
		return
	}
	l.troubles.end(pageTrouble, "")
}
