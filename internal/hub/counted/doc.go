// Package counted is the games of an association as its season counts them: each report
// as it was sealed last, once its chain and its seals were followed. A game on which
// nobody may rely is left out, and is said to be.
//
//	games := &counted.Games{Association: "harbour", Live: games, Store: store}
//	service := &season.Service{Live: games, Sealed: true}
//	for _, one := range games.Left() { tell(one.Why) }
//
// What is worked out from them depends on the lines alone, so it comes out the same at
// every hub and every time. A ledger is followed again only when it ends elsewhere.
package counted
