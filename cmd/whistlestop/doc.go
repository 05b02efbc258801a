// Command whistlestop runs the bench of an ice hockey game.
//
//	whistlestop bench --data DIR --listen HOST:PORT
//	whistlestop demo --moment third-period
//	whistlestop codes iihf
//	whistlestop divisions my-division.toml
//	whistlestop why game.jsonl 2 4:05
//	whistlestop totals game.jsonl
//	whistlestop version
package main
