package fit

import "encoding/binary"

// crcPolynomial is CRC-16/ARC, bits reflected (FIT protocol, section CRC).
const crcPolynomial = 0xA001

// crcTables holds at [k][b] the checksum of byte b followed by k zero bytes, so
// that sixteen bytes are taken at a time.
var crcTables = makeCRCTables()

func makeCRCTables() *[16][256]uint16 {
	tables := new([16][256]uint16)
	for b := range 256 {
		sum := uint16(b)
		for range 8 {
			odd := sum & 1
			sum >>= 1
			sum ^= odd * crcPolynomial
		}
		tables[0][b] = sum
	}
	for k := 1; k < len(tables); k++ {
		for b := range 256 {
			before := tables[k-1][b]
			tables[k][b] = before>>8 ^ tables[0][byte(before)]
		}
	}
	return tables
}

// checksum returns the FIT checksum of data.
func checksum(data []byte) uint16 {
	t := crcTables
	var sum uint16
	for len(data) >= 16 {
		a, b := binary.LittleEndian.Uint64(data), binary.LittleEndian.Uint64(data[8:])
		// What does not depend on the sum so far comes first, and can be looked up
		// while that is still being worked out.
		rest := t[13][byte(a>>16)] ^ t[12][byte(a>>24)] ^ t[11][byte(a>>32)] ^ t[10][byte(a>>40)] ^
			t[9][byte(a>>48)] ^ t[8][byte(a>>56)] ^ t[7][byte(b)] ^ t[6][byte(b>>8)] ^ t[5][byte(b>>16)] ^
			t[4][byte(b>>24)] ^ t[3][byte(b>>32)] ^ t[2][byte(b>>40)] ^ t[1][byte(b>>48)] ^ t[0][byte(b>>56)]
		sum ^= uint16(a)
		sum = t[15][byte(sum)] ^ t[14][sum>>8] ^ rest
		data = data[16:]
	}
	for _, b := range data {
		sum = sum>>8 ^ t[0][byte(sum)^b]
	}
	return sum
}
