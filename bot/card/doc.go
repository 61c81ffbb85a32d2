// Package card is the room of what leaves the chat to be read elsewhere: a
// recipe's card, as a picture for the phone, a page to print and a page for a
// browser; and two sheets of a household's own, for the vet and for who feeds
// while it is away.
//
// What stands on them is a sheet: blocks of text and tables. One layout sets it
// as a picture or as paper, and one template as a page. A card has nothing of
// the household in it, and amounts for healthy adult dogs alone.
package card
