use super::*;

const GOOD: &str = r#"
name = "Brindlecott support"
demo = true
review-months = 6
hand-on-minutes = 90.5
serial = 'BR[0-9]{8}'
[roles]
order = ["caller", "electrician"]
[devices.post-7]
title = "Post 7"
firmware = ["2.4.0"]
codes = ["K31"]
lamps = [{ name = "status-lamp", at = [40, 60.5], states = ["off", "green"] }]
[hazards.mains]
caution = "Deadly."
roles = ["electrician"]
triggers = ["open the cover"]
[model]
half-life-days = "off"
hold-days = 10
"#;

#[test]
fn a_whole_file_is_read() {
    let (settings, problems) = read(GOOD);
    assert_eq!(problems, []);
    assert_eq!(settings.review_months, 6);
    assert_eq!(settings.roles, ["caller", "electrician"]);
    let post = &settings.devices["post-7"];
    assert_eq!(post.lamps[0].at, Some([40.0, 60.5]));
    assert_eq!(settings.hazards["mains"].triggers, ["open the cover"]);
    assert_eq!(settings.model.half_life_days, None);
    assert!((settings.model.prior_cases - 4.0).abs() < 1e-9);
}

#[test]
fn every_fault_is_reported_at_its_place() {
    for (text, rule, line, column) in [
        ("nam = 'x'", "unknown-key", 1, 1),
        ("name = 3", "wrong-type", 1, 8),
        ("demo = 'yes'", "wrong-type", 1, 8),
        ("review-months = 0", "out-of-range", 1, 17),
        ("review-months = 1.5", "wrong-type", 1, 17),
        ("hand-on-minutes = nan", "wrong-type", 1, 19),
        ("serial = 'BR[0-9'", "serial", 1, 10),
        ("serial = 'x*'", "serial", 1, 10),
        ("[roles]\norder = ['a', 'a']", "double-value", 2, 15),
        (
            "[hazards.mains]\ncaution='x'\nroles = ['anyon']",
            "unknown-role",
            3,
            10,
        ),
        ("[hazards.mains]\nroles = ['anyone']", "missing-key", 1, 10),
        (
            "[devices.p]\nlamps = [{name='a',states=['x']},{name='a',states=['x']}]",
            "double-lamp",
            2,
            40,
        ),
        ("[devices.p]\nfirmware = ['latest']", "firmware", 2, 13),
        (
            "[devices.p]\nlamps = [{name='a',at=[1],states=['x']}]",
            "wrong-type",
            2,
            23,
        ),
        ("[model]\nhalf-life-days = 'never'", "wrong-type", 2, 18),
        ("[model]\nhold-day = 3", "unknown-key", 2, 1),
        ("name = 'a'\nname = 'b'", "toml", 2, 1),
        ("name = ", "toml", 1, 8),
    ] {
        let (_, problems) = read(text);
        let found: Vec<_> = problems
            .iter()
            .map(|p| (p.rule, p.place.line, p.place.column))
            .collect();
        assert!(found.contains(&(rule, line, column)), "{text}: {found:?}");
    }
}

proptest::proptest! {
    #[test]
    fn no_text_makes_it_panic(text in "[a-z\\[\\]='\"{}.,\\n 0-9-]{0,200}") {
        let _ = read(&text);
    }
}
