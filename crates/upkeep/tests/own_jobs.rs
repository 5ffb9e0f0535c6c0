//! A rider's own jobs over the carried ones, for as long as a program runs: hence in a program of its own.

use upkeep::job::handbook::{SHIPPED, Source, in_use, take_own, with_own};
use upkeep::job::shipped;

#[test]
fn own_jobs_are_taken_once_and_in_use_from_then_on() {
    let coolant = SHIPPED.iter().find(|file| file.name == "coolant.toml").expect("there").text;
    let text = coolant.replace("Change coolant and check hoses", "coolant my way");
    let own = [Source { name: "coolant.toml", text: &text }];
    let title = |book: &upkeep::job::Handbook| book.job("coolant").expect("there").job.title.clone();
    assert_eq!(title(in_use()), title(shipped()));
    let wrong = text.replace("needs = [\"coolant-out\"]", "needs = [\"nowhere\"]");
    assert!(take_own(&[Source { name: "coolant.toml", text: &wrong }]).is_err());
    assert_eq!(title(in_use()), title(shipped()), "nothing is taken of what does not hold");
    assert_eq!(with_own(&own).map(|book| title(&book)), Ok("coolant my way".to_owned()));
    assert_eq!(title(in_use()), title(shipped()));
    assert_eq!(take_own(&own), Ok(()));
    assert_eq!((title(in_use()), title(shipped())), ("coolant my way".to_owned(), title(shipped())));
    let again = take_own(&own).expect_err("once is enough");
    assert!(again.len() == 1 && again[0].why.contains("already"), "{again:?}");
}
