package main

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// options are what the command line says.
type options struct {
	root, out    string
	sample       int
	seed         uint64
	pkg, only    string
	named, again bool
	own          bool
}

func run(args []string, say io.Writer) error {
	flags := flag.NewFlagSet("mutants", flag.ContinueOnError)
	var o options
	flags.StringVar(&o.root, "root", "..", "the repository")
	flags.StringVar(&o.out, "out", "", "the folder for the lists; .build/mutants where nothing is said")
	flags.IntVar(&o.sample, "sample", 150, "how many mutants are tried")
	flags.Uint64Var(&o.seed, "seed", 1, "which ones")
	flags.StringVar(&o.pkg, "pkg", "", "packages, with commas between them")
	flags.StringVar(&o.only, "only", "", "all mutants whose name holds this, instead of a sample")
	flags.BoolVar(&o.named, "named", false, "the mutants written by hand (with -only: some of them), instead of a sample")
	flags.BoolVar(&o.again, "again", false, "what survived the last run, instead of a sample")
	flags.BoolVar(&o.own, "own", false, "only the package's own tests, which is quicker")
	if err := flags.Parse(args); err != nil {
		return err
	}
	root, err := filepath.Abs(o.root)
	if err != nil {
		return err
	}
	o.root = root
	if o.out == "" {
		o.out = filepath.Join(root, ".build", "mutants")
	}
	if err := os.MkdirAll(o.out, 0o750); err != nil {
		return err
	}
	known, err := readSurvivors(filepath.Join(root, "tools", "mutants", "survivors.txt"))
	if err != nil {
		return err
	}
	work, err := os.MkdirTemp("", "mutants-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	run := &round{
		shop:  &workshop{root: root, folder: work, took: map[tests]time.Duration{}},
		known: known, out: o.out, say: say,
	}
	if err := run.all(o); err != nil {
		return err
	}
	return run.sum()
}

// round is one run.
type round struct {
	shop    *workshop
	known   map[string]string
	out     string
	say     io.Writer
	results []result
}

// all tries what the options ask for.
func (r *round) all(o options) error {
	if o.named {
		named, err := readNamed(o.root, filepath.Join(o.root, "tools", "mutants", "named.txt"))
		if err != nil {
			return err
		}
		named = slices.DeleteFunc(named, func(m mutant) bool { return !strings.Contains(m.Name, o.only) })
		return r.try(named, len(named))
	}
	parts := chosen(strings.FieldsFunc(o.pkg, func(c rune) bool { return c == ',' || c == ' ' }))
	var last map[string]bool
	if o.again {
		var err error
		if last, err = survivorsOf(r.list()); err != nil {
			return err
		}
	}
	for i, part := range parts {
		var found []mutant
		for _, pkg := range part.packages {
			of, err := find(o.root, pkg)
			if err != nil {
				return err
			}
			if o.own {
				for i := range of {
					of[i].tests = of[i].tests[:1]
				}
			}
			found = append(found, of...)
		}
		every := func(keep func(mutant) bool) error {
			found = slices.DeleteFunc(found, func(m mutant) bool { return !keep(m) })
			return r.try(found, len(found))
		}
		var err error
		switch {
		case o.again:
			err = every(func(m mutant) bool { return last[m.Name] })
		case o.only != "":
			err = every(func(m mutant) bool { return strings.Contains(m.Name, o.only) })
		default:
			dice := rand.New(rand.NewPCG(o.seed, 0))
			dice.Shuffle(len(found), func(i, j int) { found[i], found[j] = found[j], found[i] })
			share := (o.sample*(i+1))/len(parts) - (o.sample*i)/len(parts)
			fmt.Fprintf(r.say, "%s: %d of %d mutants\n", part.name, min(share, len(found)), len(found))
			err = r.try(found, share)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// try tries mutants until so many were built. What does not build is no mutant.
func (r *round) try(mutants []mutant, most int) error {
	for _, m := range mutants {
		if most == 0 {
			break
		}
		got, err := r.shop.try(m)
		if err != nil {
			return err
		}
		if got.Outcome == noProgram {
			continue
		}
		most--
		got.Known = r.known[m.Name]
		r.results = append(r.results, got)
		fmt.Fprintf(r.say, "%-12s %4.0f s  %s:%d  %s  [%s]\n", got.Outcome, got.Seconds, m.File, m.Line, m.Name, got.By)
		// A run takes long: what is known so far is kept.
		if err := r.keep(); err != nil {
			return err
		}
	}
	return nil
}

func (r *round) list() string { return filepath.Join(r.out, "mutants.json") }

// keep writes both lists: all mutants as JSON, the survivors as text.
func (r *round) keep() error {
	text, err := json.MarshalIndent(r.results, "", "  ")
	if err != nil {
		return err
	}
	if err := os.WriteFile(r.list(), append(text, '\n'), 0o600); err != nil {
		return err
	}
	var lines strings.Builder
	for _, each := range r.results {
		if each.Outcome == survived {
			fmt.Fprintf(&lines, "%s:%d\n  %s\n  was %s\n  now %s\n", each.File, each.Line, each.Name, short(each.Was), short(each.Now))
			if each.Known != "" {
				fmt.Fprintf(&lines, "  known: %s\n", each.Known)
			}
		}
	}
	return os.WriteFile(filepath.Join(r.out, "survivors.txt"), []byte(lines.String()), 0o600)
}

// sum says how it went. A survivor that is not in the list fails the run.
func (r *round) sum() error {
	count := map[string]int{}
	var left []string
	for _, each := range r.results {
		switch {
		case each.Outcome != survived:
			count[string(each.Outcome)]++
		case each.Known != "":
			count["survived, in the list"]++
		default:
			count["survived"]++
			left = append(left, each.Name)
		}
	}
	for _, how := range slices.Sorted(maps.Keys(count)) {
		fmt.Fprintf(r.say, "%5d %s\n", count[how], how)
	}
	if left != nil {
		return errors.New("no test notices:\n  " + strings.Join(left, "\n  "))
	}
	return nil
}

// survivorsOf reads which mutants survived an earlier run.
func survivorsOf(list string) (map[string]bool, error) {
	text, err := os.ReadFile(list)
	if err != nil {
		return nil, err
	}
	var results []result
	if err := json.Unmarshal(text, &results); err != nil {
		return nil, err
	}
	names := map[string]bool{}
	for _, each := range results {
		if each.Outcome == survived {
			names[each.Name] = true
		}
	}
	return names, nil
}

// readSurvivors reads the survivors that are left, with their reasons: the name of
// a mutant on a line, the reason on the next, indented.
func readSurvivors(path string) (map[string]string, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	known := map[string]string{}
	name := ""
	for line := range strings.Lines(string(text)) {
		switch trimmed := strings.TrimSpace(line); {
		case trimmed == "" || strings.HasPrefix(trimmed, "#"):
		case !strings.HasPrefix(line, " "):
			name = trimmed
		case name == "":
			return nil, fmt.Errorf("%s: a reason without a mutant: %q", path, trimmed)
		default:
			known[name] = strings.TrimSpace(known[name] + " " + trimmed)
		}
	}
	return known, nil
}
