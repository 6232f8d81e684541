mod support { #[path="/work/main/tests/support/case.rs"] pub mod case; }
#[path="statics/estimates.rs"] mod estimates;
#[test] fn all() {
  let folder = std::path::Path::new("tests/data/cases");
  let mut bad=0;
  for n in ["e01_gadwall","e02_goldeneye_misread","e03_moorhen_loll","e04_curlew_list_or_loll"] {
    let v: serde_json::Value = serde_json::from_str(&std::fs::read_to_string(folder.join(format!("{n}.json"))).unwrap()).unwrap();
    let t=std::time::Instant::now();
    let d = estimates::check(&v, folder);
    println!("{n} {:?} {}", t.elapsed(), d.len()); for l in &d { println!("   {l}"); } bad+=d.len();
  }
  assert_eq!(bad,0);
}
