package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() { os.Exit(run()) }

func run() int {
	ctx, cancel := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer cancel()
	program := &Program{Out: os.Stdout, Log: os.Stderr}
	err := program.Run(ctx, os.Args[1:])
	if err == nil {
		err = program.Wait(ctx)
	}
	cancel() // a second signal ends the program at once
	if closing := program.Close(); err == nil {
		err = closing
	}
	return program.end(os.Stderr, err)
}
