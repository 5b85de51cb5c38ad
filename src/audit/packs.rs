//! The rule packs that a shop names, and the one that always applies.

use super::NotAudited;
use crate::check::CheckFault;
use crate::finding::NEVER_ACCEPTED as RAGS;
use crate::pack::{self, Pack, load_built_in, load_folder};
use crate::record::{Materials, RecordFault, ShopSettings, read_materials};
use crate::text::{CellFault, Files, Problem, Problems, Span, nearest};
use crate::trade::{Question, ReferenceData, read_reference_data, read_round};
use std::path::Path;

/// The pack that always applies: rags, keeping times and counts are no matter of jurisdiction.
pub const ALWAYS: &str = "trade";

/// Loads them; `only` names those that are wanted, none of which may be unknown.
pub(super) fn load_packs(
    shop: &ShopSettings,
    folder: &Path,
    only: &[String],
    files: &mut Files,
    problems: &mut Problems,
) -> Result<Vec<Pack>, NotAudited> {
    let mut packs: Vec<Pack> = Vec::new();
    for told in &shop.packs {
        let is_path = told.value.contains(['/', '\\', '.']);
        let before = problems.count();
        let pack = if is_path {
            load_folder(&folder.join(&told.value), files, problems)
        } else {
            load_built_in(&told.value, files, problems)
        };
        match pack {
            Some(pack) if packs.iter().any(|p| p.id == pack.id) => {
                let code = RecordFault::DuplicateName {
                    kind: "pack",
                    id: pack.id,
                };
                problems.add(Problem::new(code, told.at));
            }
            Some(pack) => packs.push(pack),
            None if problems.count() == before => {
                let beside = ["../", "./"].map(|up| format!("{up}{}", told.value));
                let mut beside = beside.into_iter();
                let near = beside
                    .find(|path| folder.join(path).join("pack.toml").is_file())
                    .or_else(|| nearest(&told.value, pack::built_in_names()).map(str::to_string));
                let code = CellFault::NameUnknown {
                    kind: "pack",
                    read: told.value.clone(),
                    near,
                };
                problems.add(Problem::new(code, told.at));
            }
            None => {}
        }
    }
    if let Some(unknown) = only
        .iter()
        .find(|name| !packs.iter().any(|p| p.id == **name) && *name != ALWAYS)
    {
        if !problems.none() {
            return Err(NotAudited::problems(problems, files));
        }
        return Err(NotAudited::NoSuchPack {
            name: unknown.clone(),
            known: packs.into_iter().map(|pack| pack.id).collect(),
        });
    }
    if !packs.iter().any(|pack| pack.id == ALWAYS) {
        packs.extend(load_built_in(ALWAYS, files, problems));
    }
    Ok(packs)
}

/// What the trade knows, with the questions that these packs add to the round.
pub(super) fn reference_with(
    packs: &[Pack],
    us: bool,
    files: &mut Files,
    problems: &mut Problems,
) -> ReferenceData {
    let mut reference = read_reference_data(files, problems);
    let built_in = std::mem::take(&mut reference.round.questions);
    reference.round.questions.clone_from(&built_in);
    let mut tables: Vec<QuestionTable<'_>> = Vec::new();
    for pack in packs {
        for (name, text) in &pack.questions {
            // A pack and the pack that adopts it have the same table.
            if tables.iter().any(|table| table.text == text) {
                continue;
            }
            let file = files.hold(name.clone(), text.clone());
            let round = read_round(files, file, problems);
            for question in &round.questions {
                let check = question.check.as_str();
                let about_rags = |known: &&Question| known.check == check && known.topic == RAGS;
                if built_in.iter().any(|known| about_rags(&known)) {
                    let read = question.check.clone();
                    let fault = CheckFault::QuestionKept { read };
                    problems.add(Problem::new(fault, question.at));
                }
                let other = tables.iter().find_map(|table| table.rival(pack, question));
                if let Some(other) = other {
                    let id = question.check.clone();
                    let kind = "question";
                    let fault = RecordFault::DuplicateName { kind, id };
                    problems.add(Problem::between(fault, question.at, other));
                }
            }
            let questions = round.questions.clone();
            reference.round.add(round);
            tables.push(QuestionTable { text, questions });
        }
    }
    if !us {
        reference.round.metric();
    }
    reference
}

/// The questions of one table of a pack.
struct QuestionTable<'p> {
    text: &'p [u8],
    questions: Vec<Question>,
}

impl QuestionTable<'_> {
    /// Where this table asks something else under the name of a question of this pack, which does not adopt the table.
    fn rival(&self, pack: &Pack, question: &Question) -> Option<Span> {
        let mut questions = self.questions.iter();
        let other = questions.find(|other| other.check == question.check)?;
        let is_adopted = pack.questions.iter().any(|(_, text)| text == self.text);
        (!is_adopted && !other.is_same(question)).then_some(other.at)
    }
}

pub(super) fn built_in_materials(files: &mut Files, problems: &mut Problems) -> Materials {
    let file = files.hold("data/materials.csv", pack::MATERIALS.as_bytes());
    read_materials(files, file, problems)
}
