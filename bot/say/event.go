package say

// Reply is one message to a chat, free of any adapter's markup.
type Reply struct {
	Body     []Block    `json:"body"`
	Picture  *Picture   `json:"picture,omitempty"`
	Document *Document  `json:"document,omitempty"`
	Buttons  [][]Button `json:"buttons,omitempty"` // rows
	// Start is the payload of a link that opens a chat with the assistant
	// (1-64 of A-Z a-z 0-9 _ -), shown under the body; the adapter makes the
	// link. Opened, it comes back as the text "/start " and the payload.
	Start string `json:"start,omitempty"`
	// InPlace is the message (Event.Message) that this one may take the place
	// of: the question that the person has just answered.
	InPlace string `json:"in_place,omitempty"`
	// Settles says that InPlace is answered for good: it is changed wherever it
	// stands, so that its buttons do not stay behind.
	Settles bool `json:"settles,omitempty"`
	// Live is the name of a message that changes in place, of which a chat has
	// one: this one is it from now on, in the place of InPlace where that is
	// named, else below all others. Of several changes on their way only the last
	// is worth sending.
	Live string `json:"live,omitempty"`
	// Quiet says that Live is changed where the chat has it, and nothing is said
	// where it has not.
	Quiet bool `json:"quiet,omitempty"`
}

// Changes is the name of the message that a reply does no more than change; empty
// where it is one of its own.
func (r *Reply) Changes() string {
	if r.Quiet || r.InPlace != "" {
		return r.Live
	}
	return ""
}

// Block is a paragraph of running text, or a table set in a fixed-width
// face. Text holds line breaks; table lines are at most TableWidth wide. How
// much of a paragraph has to be seen at once: Whole and Waits.
type Block struct {
	Text  string `json:"text"`
	Table bool   `json:"table,omitempty"`
	Whole bool   `json:"whole,omitempty"`
	Waits bool   `json:"waits,omitempty"`
	Asks  bool   `json:"-"` // it is said once in a turn, where it is asked last
}

// Picture is an image that belongs to a reply. Alt says in words what it
// shows, for a screen that shows no pictures.
type Picture struct {
	Name string `json:"name"` // file name: "nutrients.png"
	Alt  string `json:"alt"`
	PNG  []byte `json:"png"`
}

// Document is a file that belongs to a reply, of at most LargestDocument
// bytes. Alt says in words what it is, for a screen that takes no files.
type Document struct {
	Name string `json:"name"` // file name: "bowlwright.ics"
	Alt  string `json:"alt"`
	Type string `json:"type"` // MIME: "text/calendar; charset=utf-8"
	Data []byte `json:"data"`
}

// LargestDocument is the most bytes that a document may have (Telegram Bot
// API documentation, sendDocument: 50 MB).
const LargestDocument = 50 << 20

// TableWidth is the most columns a table line may have without wrapping on a
// phone.
const TableWidth = 34

// Button is a choice under a message. Data is 1 to 64 bytes.
type Button struct {
	Label string `json:"label"`
	Data  string `json:"data"`
}
