package evening

import (
	"math/rand/v2"
	"path/filepath"
	"strings"
	"sync"

	"whistlestop/internal/folder/durable"
	"whistlestop/internal/proof/crashdisk"
)

// stickFolder is where the stick is. It is on no real disk.
const stickFolder = "/stick/games"

// cupboard is the disks of the copies: this computer's, and the stick.
type cupboard struct {
	mutex  sync.Mutex
	folder string // of the games
	own    *crashdisk.Disk
	stick  *crashdisk.Disk
	in     bool // the stick is in
	dead   bool // whoever uses it is dead
}

func newCupboard(folder string) *cupboard {
	return &cupboard{
		folder: folder, in: true,
		own: crashdisk.New(folder, filepath.Join(folder, "copies")), stick: crashdisk.New(stickFolder),
	}
}

// at is the disk of a path, for whoever changes something there.
func (c *cupboard) at(path string) (*crashdisk.Disk, error) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if c.dead {
		return nil, crashdisk.ErrFails
	}
	return c.of(path), nil
}

func (c *cupboard) of(path string) *crashdisk.Disk {
	if path == stickFolder || strings.HasPrefix(path, stickFolder+"/") {
		return c.stick
	}
	return c.own
}

// die ends whoever uses the disks: what it does from now on is not done.
func (c *cupboard) die() {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.dead = true
}

// revive gives the disks to the next program, as a power cut or a kill left them.
func (c *cupboard) revive(cut bool, random *rand.Rand) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.dead = false
	if cut {
		c.own, c.stick = c.own.Restarted(random), c.stick.Restarted(random)
	}
}

// mend ends every trouble and puts the stick in.
func (c *cupboard) mend() {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.own.FailAt(0, crashdisk.None)
	c.stick.FailAt(0, crashdisk.None)
	if !c.in {
		c.stick.Put(stickFolder)
		c.in = true
	}
}

// pull takes the stick out, or puts it in; older is what is on it then, nil: what
// was safe when it was pulled.
func (c *cupboard) pull(older map[string][]byte) (in bool) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if c.in {
		c.stick.Pull(stickFolder)
		c.in = false
		return false
	}
	if older != nil {
		c.stick = crashdisk.New(stickFolder)
		for _, path := range sorted(older) {
			_ = durable.Write(c.stick, path, older[path]) // the disk is new and well
		}
	}
	c.stick.Put(stickFolder)
	c.in = true
	return true
}

// files is what is in a folder.
func (c *cupboard) files(folder string) map[string][]byte {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	disk, all := c.of(folder), map[string][]byte{}
	names, err := disk.Names(folder)
	if err != nil {
		return nil
	}
	for _, name := range names {
		path := filepath.Join(folder, name)
		if content, err := disk.Read(path); err == nil {
			all[path] = content
		}
	}
	return all
}

// put puts a file there, safe. Nothing happens where the stick is not in.
func (c *cupboard) put(path string, content []byte) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	disk := c.of(path)
	disk.FailAt(0, crashdisk.None)
	_ = durable.Write(disk, path, content)
}

func (c *cupboard) Read(path string) ([]byte, error) {
	disk, err := c.at(path)
	if err != nil {
		return nil, err
	}
	return disk.Read(path)
}

func (c *cupboard) Names(folder string) ([]string, error) {
	disk, err := c.at(folder)
	if err != nil {
		return nil, err
	}
	return disk.Names(folder)
}

func (c *cupboard) Create(path string) (durable.File, error) {
	disk, err := c.at(path)
	if err != nil {
		return nil, err
	}
	return disk.Create(path)
}

func (c *cupboard) Extend(path string, size int64) (durable.File, error) {
	disk, err := c.at(path)
	if err != nil {
		return nil, err
	}
	return disk.Extend(path, size)
}

func (c *cupboard) Rename(from, to string) error {
	disk, err := c.at(to)
	if err != nil {
		return err
	}
	return disk.Rename(from, to)
}

func (c *cupboard) Remove(path string) error {
	disk, err := c.at(path)
	if err != nil {
		return err
	}
	return disk.Remove(path)
}

func (c *cupboard) SyncFolder(folder string) error {
	disk, err := c.at(folder)
	if err != nil {
		return err
	}
	return disk.SyncFolder(folder)
}

// Device tells the stick from the rest.
func (c *cupboard) Device(folder string) (uint64, error) {
	disk, err := c.at(folder)
	if err != nil || disk == c.own {
		return 1, err
	}
	_, err = disk.Device(folder)
	return 2, err
}

// fail lets a step of the stick go wrong, once or from then on.
func (c *cupboard) fail(step int, once bool) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	trouble := crashdisk.ForEver
	if once {
		trouble = crashdisk.Once
	}
	c.stick.FailAt(step, trouble)
}
