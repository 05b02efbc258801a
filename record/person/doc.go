// Package person says where in entries a person is named, so that the name can be
// taken out. It is pure.
//
//	who, ok := person.Named("Rowan Tidewell")
//	fmt.Println(ok, who.In("Hurt: ROWAN  TIDEWELL, knee")) // true true
package person
