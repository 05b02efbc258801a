package demo

import "whistlestop/game/entry"

const (
	division = "harbour-u14"
	venue    = "Saltworks Arena"
	number   = "U14-031"
)

// kelpBay is the home team. All names are invented.
var kelpBay = entry.Team{Name: "Kelp Bay", Players: []entry.Player{
	{Number: "1", Name: "Juno Halvard", Goalkeeper: true},
	{Number: "4", Name: "Tove Marsh"},
	{Number: "5", Name: "Ansel Reedy"},
	{Number: "7", Name: "Imre Casterby", Captain: true},
	{Number: "8", Name: "Noor Fenwick"},
	{Number: "9", Name: "Lior Sandby", Alternate: true},
	{Number: "11", Name: "Bram Teagle"},
	{Number: "12", Name: "Saskia Dunmoor"},
	{Number: "14", Name: "Odile Vargo"},
	{Number: "15", Name: "Kit Rowantree"},
	{Number: "17", Name: "Mats Ellerby", Alternate: true},
	{Number: "18", Name: "Yuna Pricewood"},
	{Number: "21", Name: "Caspian Dole"},
	{Number: "22", Name: "Ines Lowther"},
	{Number: "24", Name: "Rafe Tindle"},
	{Number: "27", Name: "Maren Ashbeck"},
	{Number: "31", Name: "Pim Okonedo", Goalkeeper: true},
}}

// lanternside is the visitors' team.
var lanternside = entry.Team{Name: "Lanternside", Players: []entry.Player{
	{Number: "2", Name: "Tamsin Oakes"},
	{Number: "3", Name: "Jory Penhallow"},
	{Number: "6", Name: "Alba Strandly", Alternate: true},
	{Number: "8", Name: "Nico Harrowgate"},
	{Number: "9", Name: "Freya Lundmoor"},
	{Number: "10", Name: "Dario Kestle", Captain: true},
	{Number: "13", Name: "Hollis Wrayburn"},
	{Number: "16", Name: "Priya Marlow"},
	{Number: "19", Name: "Emil Thornby", Alternate: true},
	{Number: "20", Name: "Wilf Garrick"},
	{Number: "23", Name: "Zora Bellamy"},
	{Number: "25", Name: "Teo Ravnholt"},
	{Number: "28", Name: "Lark Insley"},
	{Number: "30", Name: "Edda Quillfeather", Goalkeeper: true},
	{Number: "33", Name: "Soren Bexwell", Goalkeeper: true},
	{Number: "44", Name: "Ottilie Crane"},
}}
