package prop

import "testing"

func BenchmarkParsePorthole(b *testing.B) {
	text := []byte(DemoFile("porthole"))
	b.ReportAllocs()
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if _, _, err := Parse(text, "porthole.toml"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSetPixels(b *testing.B) {
	_, d, err := Parse([]byte(DemoFile("porthole")), "porthole.toml")
	if err != nil {
		b.Fatal(err)
	}
	n := 30
	b.ReportAllocs()
	for b.Loop() {
		if n = 30 + (n+1)%30; d.SetPixels(0, n) != nil {
			b.Fatal("refused")
		}
	}
}

func BenchmarkLayout10k(b *testing.B) {
	p := Porthole()
	for i := range p.Runs {
		p.Runs[i].Pixels = 3333
	}
	b.ReportAllocs()
	for b.Loop() {
		Layout(p)
	}
}
