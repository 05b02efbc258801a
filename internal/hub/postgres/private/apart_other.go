//go:build !linux

package private

import "os/exec"

func give(string) error { return ErrNoPrograms }

func apart(*exec.Cmd) error { return ErrNoPrograms }
