package demo
import ("testing";"fmt";"os";"pegpour/engine";"pegpour/engine/draw")
func TestProbe(t *testing.T){
 for i,s:=range groundSites(){
  plan,err:=engine.Design(s.Survey, engine.DefaultPractice())
  fmt.Println("=====",s.Survey.Site.Name,err)
  for _,c:=range plan.Checks{ fmt.Println(c.Severity,c.Code,c.What.String(),"|",c.Consequence.String()); for _,r:=range c.Remedies{fmt.Println("     ->",r.Words.String())}}
  sc:=engine.SectionScene(&plan, engine.SceneOptions{})
  b,err:=draw.Render(sc, draw.Phone(900,420), draw.Options{Standalone:true})
  fmt.Println(err)
  os.WriteFile(fmt.Sprintf("/tmp/sec%d.svg",i),b,0o644)
  b,err=draw.Render(sc, draw.Phone(390,300), draw.Options{Standalone:true})
  os.WriteFile(fmt.Sprintf("/tmp/secp%d.svg",i),b,0o644)
  b,err=draw.Render(engine.SetOutScene(&plan, engine.SceneOptions{}), draw.Phone(900,420), draw.Options{Standalone:true})
  fmt.Println(err)
  os.WriteFile(fmt.Sprintf("/tmp/set%d.svg",i),b,0o644)
 }
}
