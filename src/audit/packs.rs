//! The rule packs that a shop names, and the one that always applies.

use super::NotAudited;
use crate::pack::{self, Pack, load_built_in, load_folder};
use crate::record::{Materials, RecordFault, ShopSettings, read_materials};
use crate::text::{CellFault, Files, Problem, Problems, nearest};
use crate::trade::{ReferenceData, read_reference_data, read_round};
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
                let near = nearest(&told.value, pack::built_in_names()).map(str::to_string);
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
    for (name, text) in packs.iter().flat_map(|pack| &pack.questions) {
        let file = files.hold(name.clone(), text.clone());
        reference.round.add(read_round(files, file, problems));
    }
    if !us {
        reference.round.metric();
    }
    reference
}

pub(super) fn built_in_materials(files: &mut Files, problems: &mut Problems) -> Materials {
    let file = files.hold("data/materials.csv", pack::MATERIALS.as_bytes());
    read_materials(files, file, problems)
}
