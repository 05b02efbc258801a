package dice

// Dice is the state of a SplitMix64 generator (Steele, Lea, Flood 2014). Its first
// value is the seed.
type Dice uint64

// Next is the next number of 64 bits.
func (d *Dice) Next() uint64 {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// Below is a number from 0 to n-1; n is above nought. The remainder favours small
// numbers by less than n in 2^64.
func (d *Dice) Below(n int) int { return int(d.Next() % uint64(n)) }

// Share is a number from 0 up to 1, without it.
func (d *Dice) Share() float64 { return float64(d.Next()>>11) / (1 << 53) }
