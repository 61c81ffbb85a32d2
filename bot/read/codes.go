package read

// Codes of problems with dogs, ages and places.
const (
	UnknownPlace Code = "unknown-place" // no zone, city or country with one zone
)
