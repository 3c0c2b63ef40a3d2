//! S03 primary members, S04 secondary members.

use spanyard::check::{Check, Code, Outcome};
use spanyard::model::car::{MemberCondition, MemberGroup, Members};
use spanyard::model::inputs::Inputs;
use spanyard::model::rules::Damage;
use spanyard::quantity::Percent;

use crate::testkit::fixture::{all_members, asked_all, margin};

use MemberCondition::{Bent, Corroded, Cracked, Missing, Sound};

fn of_part(code: Code, part: MemberGroup, change: impl FnOnce(&mut Inputs)) -> Check {
    asked_all(code, change).into_iter().find(|check| check.part == part.word()).unwrap()
}

fn main_girder(loss_max: f64, condition: Option<MemberCondition>) -> Check {
    of_part(Code::PrimaryMembers, MemberGroup::MainGirder, |inputs| {
        inputs.rules.screen.primary_loss_max_pct = Percent(loss_max);
        inputs.cars[0].members.main_girder = condition;
    })
}

fn stringers(condition: Option<MemberCondition>, repairable: &[Damage]) -> Check {
    of_part(Code::SecondaryMembers, MemberGroup::Stringers, |inputs| {
        inputs.rules.screen.secondary_repairable = repairable.to_vec();
        inputs.cars[0].members.stringers = condition;
    })
}

#[test]
fn each_group_has_its_own_check() {
    for (code, parts) in [
        (Code::PrimaryMembers, vec!["main girder", "exterior girders", "bolsters"]),
        (Code::SecondaryMembers, vec!["cross-members", "stringers"]),
    ] {
        let checks = asked_all(code, |_| {});
        let found: Vec<&str> = checks.iter().map(|check| check.part.as_str()).collect();
        assert_eq!(found, parts);
        assert!(checks.iter().all(|check| check.outcome == Outcome::Pass));
    }
}

type Change = fn(&mut Members);

#[test]
fn a_bad_group_fails_its_own_check_alone() {
    let set: [(MemberGroup, Change); 3] = [
        (MemberGroup::MainGirder, |members| members.main_girder = Some(Bent)),
        (MemberGroup::ExteriorGirders, |members| members.exterior_girders = Some(Bent)),
        (MemberGroup::Bolsters, |members| members.bolsters = Some(Bent)),
    ];
    for (group, damage) in set {
        for check in asked_all(Code::PrimaryMembers, |inputs| damage(&mut inputs.cars[0].members)) {
            let expected = if check.part == group.word() { Outcome::Fail } else { Outcome::Pass };
            assert_eq!(check.outcome, expected, "{group} bent, {} asked", check.part);
        }
    }
}

#[test]
fn primary_members_admit_no_damage_but_loss_within_the_rule() {
    for (loss_max, condition, outcome, by) in [
        (0.0, Some(Sound), Outcome::Pass, None),
        (0.0, Some(Bent), Outcome::Fail, None),
        (0.0, Some(Cracked), Outcome::Fail, None),
        (0.0, Some(Missing), Outcome::Fail, None),
        (0.0, Some(Corroded(Percent(2.0))), Outcome::Fail, Some(-2.0)),
        (5.0, Some(Corroded(Percent(2.0))), Outcome::Pass, Some(3.0)),
        (5.0, Some(Corroded(Percent(5.0))), Outcome::Pass, Some(0.0)),
        (5.0, Some(Corroded(Percent(5.5))), Outcome::Fail, Some(-0.5)),
        (5.0, None, Outcome::Unknown, None),
    ] {
        let check = main_girder(loss_max, condition);
        assert_eq!(check.outcome, outcome, "{condition:?}");
        assert_eq!(margin(&check), by, "{condition:?}");
    }
}

#[test]
fn secondary_members_may_be_repaired_where_the_rules_say_so() {
    let default = [Damage::Bent, Damage::Corroded];
    for (condition, repairable, outcome, by, note) in [
        (Some(Sound), &default[..], Outcome::Pass, None, ""),
        (Some(Bent), &default, Outcome::Caution, None, "bent; repair priced at $900.00"),
        (Some(Bent), &[], Outcome::Fail, None, "the rules allow no repair of this damage"),
        (Some(Cracked), &default, Outcome::Fail, None, "the rules allow no repair of this damage"),
        (
            Some(Cracked),
            &[Damage::Cracked],
            Outcome::Caution,
            None,
            "cracked; repair priced at $2,500.00",
        ),
        (Some(Missing), &default, Outcome::Fail, None, "the rules allow no repair of this damage"),
        (
            Some(Corroded(Percent(10.0))),
            &default,
            Outcome::Caution,
            Some(0.0),
            "corroded; repair priced at $1,200.00",
        ),
        (Some(Corroded(Percent(12.0))), &default, Outcome::Fail, Some(-2.0), "corroded"),
        (
            Some(Corroded(Percent(4.0))),
            &[Damage::Bent],
            Outcome::Fail,
            None,
            "the rules allow no repair of this damage",
        ),
        (None, &default, Outcome::Unknown, None, "not inspected"),
    ] {
        let check = stringers(condition, repairable);
        assert_eq!(check.outcome, outcome, "{condition:?}");
        assert_eq!(margin(&check), by, "{condition:?}");
        assert_eq!(check.note, note, "{condition:?}");
    }
}

#[test]
fn the_limit_says_what_may_be_repaired() {
    for (repairable, limit) in [
        (
            &[Damage::Bent, Damage::Corroded][..],
            "sound or repairable (bent, corroded up to 10.0 %)",
        ),
        (&[Damage::Cracked], "sound or repairable (cracked)"),
        (&[], "sound"),
    ] {
        assert_eq!(stringers(Some(Missing), repairable).limit.to_string(), limit);
    }
}

#[test]
fn damage_anywhere_asks_for_a_look_at_the_groups_nobody_inspected() {
    let look = "not inspected; damage seldom comes alone: inspect all others";
    for (stringers, note) in
        [(Some(Bent), look), (Some(Sound), "not inspected"), (None, "not inspected")]
    {
        let check = of_part(Code::PrimaryMembers, MemberGroup::Bolsters, |inputs| {
            inputs.cars[0].members = Members { stringers, ..all_members(None) };
        });
        assert_eq!((check.outcome, check.note.as_str()), (Outcome::Unknown, note));
    }
}
