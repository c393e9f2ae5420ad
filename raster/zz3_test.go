package raster
import ("testing";"fmt";"math/rand/v2";"math")
func TestZ3(t *testing.T){
	for _, q := range []int{4} {
	set := hardSets[q]
	rng := rand.New(rand.NewPCG(1, 7))
	for i:=0;i<40;i++{ tr:=set.make(rng,i)
		s:=tr.shape()
		f := newSampler(s)
		m := measurer{f: f, safe: tr.safe, limit: math.Max(2*tr.safe+8, 24), reach: sharpReach, bilevel: s.Ink.Bilevel()}
		r:=m.profile(tr.course)
		if math.Abs(r.Width-tr.width)<.5 { continue }
		k:=m.strand(tr.course); p:=m.greyProfile(k)
		_,at,dir:=m.shortestChord(k)
		w:=m.across(at,dir,30,2)
		q:=m.greyProfile(w)
		fmt.Println(i,"true",tr.width,"got",r.Width,r.PlusMinus,"place",dist(r.At,*tr.place),"first",p.Width, p.PlusMinus, p.At,"second",q.Width,q.PlusMinus, q.At, w.lo,w.hi)
		for _, x := range w.st { fmt.Printf("%.2f ",x.width) }
		fmt.Println("blur",m.blur,m.reach)
	}}
}
