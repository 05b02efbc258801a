// Command whistlestop runs the bench of an ice hockey game.
//
//	whistlestop bench --data DIR --listen HOST:PORT
//	whistlestop demo --moment third-period
//	whistlestop version
package main
