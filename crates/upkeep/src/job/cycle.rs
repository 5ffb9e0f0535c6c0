//! Finds operations that wait for each other in a ring.

use super::fault::OrderFault;
use super::order::Order;

#[derive(Clone, Copy, PartialEq, Eq)]
enum Mark {
    New,
    OnPath,
    Left,
}

impl Order<'_> {
    /// Whether every operation's predecessors can come before it.
    ///
    /// # Errors
    /// The operations of one ring, each before the next.
    pub(super) fn check_cycle(&self) -> Result<(), OrderFault> {
        let mut marks = vec![Mark::New; self.ops.len()];
        for start in 0..self.ops.len() {
            if let Some(ring) = self.ring_from(start, &mut marks) {
                let names = ring.into_iter().rev().map(|op| self.ops[op].source.id.clone());
                return Err(OrderFault::Cycle(names.collect()));
            }
        }
        Ok(())
    }

    /// Depth first along predecessors, without recursion: each path entry keeps the next predecessor to look at.
    fn ring_from(&self, start: usize, marks: &mut [Mark]) -> Option<Vec<usize>> {
        if marks[start] != Mark::New {
            return None;
        }
        marks[start] = Mark::OnPath;
        let mut path = vec![(start, 0)];
        while let Some((op, next)) = path.last_mut() {
            let Some(&before) = self.ops[*op].after.get(*next) else {
                marks[*op] = Mark::Left;
                path.pop();
                continue;
            };
            *next += 1;
            match marks[before] {
                Mark::New => {
                    marks[before] = Mark::OnPath;
                    path.push((before, 0));
                }
                Mark::OnPath => {
                    let first = path.iter().position(|(op, _)| *op == before)?;
                    return Some(path[first..].iter().map(|(op, _)| *op).collect());
                }
                Mark::Left => {}
            }
        }
        None
    }
}
