package raster
import ("testing";"fmt")
func TestZZ(t *testing.T){
	for _, b := range []bool{false,true} { for _, s := range hardSets { fmt.Println(runSet(s, 1, b).row()) } }
}
