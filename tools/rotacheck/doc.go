// Package rotacheck holds rotas against an independent solver of integer programs
// (HiGHS, MIT, as WebAssembly from npm): it writes a rota's problem as a program in
// the LP format and compares what comes out. Only its test does anything.
//
//	go test -v ./rotacheck
package rotacheck
