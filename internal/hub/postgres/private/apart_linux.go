package private

import (
	"fmt"
	"os"
	"os/exec"
	"os/user"
	"strconv"
	"syscall"
)

// account is who runs PostgreSQL when root asks for it; nil: whoever asks.
func account() (*syscall.Credential, error) {
	if os.Geteuid() != 0 {
		return nil, nil
	}
	who, err := user.Lookup("postgres")
	if err != nil {
		if who, err = user.Lookup("nobody"); err != nil {
			return nil, fmt.Errorf("PostgreSQL does not run as root, and there is no other user for it: %w", err)
		}
	}
	uid, err := strconv.ParseUint(who.Uid, 10, 32)
	if err != nil {
		return nil, err
	}
	gid, err := strconv.ParseUint(who.Gid, 10, 32)
	if err != nil {
		return nil, err
	}
	return &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}, nil
}

// give makes a folder that of whoever runs PostgreSQL.
func give(folder string) error {
	who, err := account()
	if err != nil || who == nil {
		return err
	}
	return os.Chown(folder, int(who.Uid), int(who.Gid))
}

// apart runs a program as that user. It ends when the one that started it does, however
// that ends.
func apart(c *exec.Cmd) error {
	who, err := account()
	c.SysProcAttr = &syscall.SysProcAttr{Credential: who, Pdeathsig: syscall.SIGQUIT}
	return err
}
