// Package rank ranks what a message may mean. It cuts the message into
// statements and gives each intent a probability, by a model that was trained
// from labelled wordings: multinomial logistic regression over words and pairs,
// parts of words, kinds of a lexicon, and the open question.
//
// It knows intents by their names alone, and nothing of dogs or dialogues. The
// same message and model give the same answer.
package rank
