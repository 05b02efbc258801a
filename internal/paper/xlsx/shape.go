package xlsx

import "io"

// No part of a workbook that people or programs write comes near these. Beyond
// them a reader of XML would keep far more than the file has: an open element is
// remembered until it ends, and all attributes of a tag are held at once.
const (
	depthMost = 64
	tagMost   = 64 << 10 // bytes of one tag
)

// shaped reads XML and refuses it where it is nested too deeply or a tag is too
// long, before anything is made of it.
type shaped struct {
	in    io.Reader
	depth int
	tag   int  // bytes of the tag that was begun; 0: between tags
	kind  byte // the first byte of the tag
	last  byte
	quote byte // that an attribute began with
}

func (s *shaped) Read(p []byte) (int, error) {
	n, err := s.in.Read(p)
	for _, c := range p[:n] {
		if !s.fits(c) {
			return 0, refuse("xlsx.unreadable")
		}
	}
	return n, err
}

// fits looks at one more byte.
func (s *shaped) fits(c byte) bool {
	switch {
	case s.tag == 0:
		if c == '<' {
			s.tag, s.kind, s.last, s.quote = 1, 0, 0, 0
		}
		return true
	case s.tag == 1:
		s.kind = c
	case s.quote != 0:
		if c == s.quote {
			s.quote = 0
		}
	case c == '"' || c == '\'':
		s.quote = c
	case c == '>':
		switch {
		case s.kind == '/':
			s.depth--
		case s.kind != '!' && s.kind != '?' && s.last != '/':
			s.depth++
		}
		s.tag = 0
		return s.depth <= depthMost
	}
	s.last = c
	s.tag++
	return s.tag <= tagMost
}
