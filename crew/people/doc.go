// Package people reads the list of those who help: a table with a line for each
// person, from a spreadsheet or pasted. Whatever cannot be used is said with its line,
// and the rest is kept.
//
//	list, findings := people.Read(text)
package people
