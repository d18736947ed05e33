package equilibrium
import "testing"
func TestZZ(t *testing.T){
 b:=newBath(t); m:=&b.sys.species
 n1,n2,np:=0,0,0
 pairs:=map[[2]int32]int{}
 for j:=range m.len(){ k:=int(m.start[j+1]-m.start[j]); n1+=k; n2+=k*k; np+=k*(k+1)/2
  for e:=m.start[j];e<m.start[j+1];e++{ for g:=m.start[j];g<=e;g++{ pairs[[2]int32{m.index[e],m.index[g]}]++ } } }
 t.Log(m.len(),n1,n2,np,len(b.sys.powers),len(pairs))
 w:=b.sys.NewWorkspace(); 
 c := &Conditions{LnK: b.lnK, LnKs: b.off, Total: b.total}
 _,err:=w.pose(c,nil,0); t.Log(err)
 w.enter(false); w.guess()
 t.Log("theta", w.imbalance(), w.f)
 t.Log(w.newton(25), w.iterations, w.imbalance(), w.pivot, w.f)
}
