package device

import "sync"

// memory is preferences that last as long as the program.
type memory struct {
	mu sync.Mutex
	m  map[string]string
}

func (p *memory) Get(key string) string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.m[key]
}

func (p *memory) Put(key, value string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if value == "" {
		delete(p.m, key)
		return
	}
	if p.m == nil {
		p.m = map[string]string{}
	}
	p.m[key] = value
}
