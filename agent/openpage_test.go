package agent

import (
	"context"
	"errors"
	"time"
)

// page takes a second to write and open the desk page, which fails as often as
// breakPages was called.
func (s *studio) page(ctx context.Context) error {
	select {
	case <-time.After(time.Second):
	case <-ctx.Done():
		return ctx.Err()
	}
	s.mu.Lock()
	broken := s.brokenPages > 0
	if broken {
		s.brokenPages--
	}
	s.mu.Unlock()
	if broken {
		return errors.New("no space left on device")
	}
	s.record("opens", "the desk page")
	return nil
}

func (s *studio) breakPages() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.brokenPages++
}
