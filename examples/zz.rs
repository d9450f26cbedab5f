use inseam::{bike::library, rider::RiderFile, yaml::Document, *};
use std::sync::Arc;
fn main() {
    for bike in library::samples() {
        println!("{} {:?} {:?}", bike.id, bike.layout, bike.mismatches);
        for h in [900, 1050, 1200, 1350, 1500, 1650] {
            for st in ["learning", "steady", "confident"] {
                let f: RiderFile = Document::from_text(
                    "r",
                    format!("{{height: {h}, weight: 30 kg, age: 8y, sex: boy, stage: {st}}}"),
                )
                .read()
                .unwrap();
                let o = Options::new(jiff::civil::date(2026, 3, 1));
                let r = Arc::new(Rider::new(&f, o.on).unwrap());
                let fit = assess(&r, &bike, &o);
                println!(
                    "{:?} {:?} {:?} {:?}",
                    fit.pose, fit.measures, fit.verdict, fit.odds
                );
            }
        }
    }
}
