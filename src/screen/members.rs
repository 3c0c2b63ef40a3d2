//! S03 and S04: the condition of the members, one check for each group.

use itertools::Itertools;

use super::Alone;
use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::model::car::{MemberCondition, MemberGroup, Members};
use crate::model::rules::{Damage, ScreenRules};
use crate::quantity::Percent;

/// S03 for each primary group, then S04 for each secondary group.
pub fn all<'a>(alone: &'a Alone) -> impl Iterator<Item = Check> + 'a {
    MemberGroup::ALL.iter().map(|&group| {
        let check =
            if group.is_primary() { primary(alone, group) } else { secondary(alone, group) };
        check.part(group.word())
    })
}

/// S03: no damage, and loss within the rule.
fn primary(alone: &Alone, group: MemberGroup) -> Check {
    let most = alone.rules.screen.primary_loss_max_pct;
    let limit = || Limit::words(format!("sound, or corroded at most {most}"));
    match alone.car.members.of(group) {
        None => not_inspected(Code::PrimaryMembers, limit(), &alone.car.members),
        Some(MemberCondition::Corroded(loss)) => by_loss(Code::PrimaryMembers, loss, most),
        Some(condition) => Check::words(
            Code::PrimaryMembers,
            condition.words(),
            limit(),
            condition == MemberCondition::Sound,
        ),
    }
}

/// S04: sound, or damaged in a way that the rules let be repaired, which is then priced.
fn secondary(alone: &Alone, group: MemberGroup) -> Check {
    let screen = &alone.rules.screen;
    let limit = || secondary_limit(screen);
    let Some(condition) = alone.car.members.of(group) else {
        return not_inspected(Code::SecondaryMembers, limit(), &alone.car.members);
    };
    let Some(damage) = condition.damage() else {
        return Check::words(Code::SecondaryMembers, condition.words(), limit(), true);
    };
    if !screen.secondary_repairable.contains(&damage) {
        return Check::words(Code::SecondaryMembers, condition.words(), limit(), false)
            .note("the rules allow no repair of this damage");
    }
    let mut check = match condition {
        MemberCondition::Corroded(loss) => {
            by_loss(Code::SecondaryMembers, loss, screen.secondary_loss_max_pct)
        }
        _ => Check::words(Code::SecondaryMembers, condition.words(), limit(), true),
    };
    if check.outcome == Outcome::Pass {
        check.outcome = Outcome::Caution;
        let rate = alone.rules.repair.cost(damage);
        check.note = format!("{}; repair priced at {rate}", damage.word());
    }
    check
}

/// `sound or repairable (bent, corroded up to 10.0 %)`.
fn secondary_limit(screen: &ScreenRules) -> Limit {
    if screen.secondary_repairable.is_empty() {
        return Limit::words("sound");
    }
    let repairable = screen.secondary_repairable.iter().format_with(", ", |damage, write| {
        write(&damage.word())?;
        match damage {
            Damage::Corroded => write(&format_args!(" up to {}", screen.secondary_loss_max_pct)),
            _ => Ok(()),
        }
    });
    Limit::words(format!("sound or repairable ({repairable})"))
}

/// Corrosion against the greatest loss.
fn by_loss(code: Code, loss: Percent, most: Percent) -> Check {
    Check::at_most(code, Value::Percent(loss), Value::Percent(most)).note("corroded")
}

/// Nobody looked; all the more reason to where something else is damaged.
fn not_inspected(code: Code, limit: Limit, members: &Members) -> Check {
    let damaged = MemberGroup::ALL
        .iter()
        .any(|&group| members.of(group).is_some_and(|found| found != MemberCondition::Sound));
    let note = if damaged {
        "not inspected; damage seldom comes alone: inspect all others"
    } else {
        "not inspected"
    };
    Check::unknown(code, limit, note)
}
