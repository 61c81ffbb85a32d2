package bolt

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
)

// Every record carries the CRC-32C of its key and itself in its last four
// bytes: bbolt has no checksums for what it keeps, and a weight of which the
// disk changed one digit would still be a weight.

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

const sealSize = 4

func sumOf(key, record []byte) uint32 {
	return crc32.Update(crc32.Checksum(key, castagnoli), castagnoli, record)
}

// seal returns a record with its checksum.
func seal(key, record []byte) []byte {
	sealed := make([]byte, 0, len(record)+sealSize)
	return binary.BigEndian.AppendUint32(append(sealed, record...), sumOf(key, record))
}

// opened returns the record of what bbolt holds under a key, nil where it
// holds nothing. It still points into the file.
func opened(op string, key, sealed []byte) ([]byte, error) {
	if sealed == nil {
		return nil, nil
	}
	n := len(sealed) - sealSize
	if n < 0 || binary.BigEndian.Uint32(sealed[n:]) != sumOf(key, sealed[:n]) {
		return nil, damaged(op, "a record of %d bytes does not match its checksum", len(sealed))
	}
	return sealed[:n], nil
}

// copied is opened with a copy of the record.
func copied(op string, key, sealed []byte) ([]byte, error) {
	record, err := opened(op, key, sealed)
	return bytes.Clone(record), err
}

func missing(op string, bucket []byte) error {
	return damaged(op, "bucket %s is missing", bucket)
}
