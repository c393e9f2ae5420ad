package raster
import ("testing";"fmt";"math/rand/v2";"math")
func TestZ2(t *testing.T){
	for _, set := range []accuracySet{hardSets[5],greySets[7]} {
	rng := rand.New(rand.NewPCG(1, 7))
	for i:=0;i<set.n;i++{ tr:=set.make(rng,i)
		s:=tr.shape()
		f := newSampler(s)
		m := measurer{f: f, safe: tr.safe, limit: math.Max(2*tr.safe+8, 24), reach: sharpReach, bilevel: s.Ink.Bilevel()}
		p:=m.profile(tr.course)
		if e:=p.Width-tr.width; math.Abs(e)>.05 && i<70 { 
		c:=f.chord(*tr.place, p.Across, 50)
		k:=m.strand(tr.course); m.greyProfile(k)
		fmt.Printf("%d true %.2f safe %.1f err %+.2f pm %.2f chord err %+.2f place %.2f, straight %v sharp %v\n", i, tr.width,tr.safe,e,p.PlusMinus,c-tr.width,dist(p.At,*tr.place), k.straight, k.sharp); 
		q:=m.across(p.At, Point{p.Across.Y,-p.Across.X}, 10, 4)
		for i := range q.st { fmt.Printf("%+.1f:%.2f ",float64(i)*q.step-float64(len(q.st)/2)*q.step, q.st[i].width-tr.width)}; fmt.Println() }
	}
	}
}
