//! A class as plain pieces, expanded from the session by the words of the README alone.

use std::sync::Arc;

use matside::plan::Kind;
use matside::session::{
    Block, Cueing, Doing, Order, Part, Pattern, Pick, Position, Session, Sides, Step, Use,
};
use matside::time::Span;

/// Times are milliseconds.
pub(crate) type Ms = u64;

/// One interval, wherever it lies.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Piece {
    pub(crate) kind: Kind,
    pub(crate) part: usize,
    pub(crate) moves: Vec<Arc<Use>>,
    pub(crate) length: Ms,
    /// How long the session made it.
    pub(crate) written: Ms,
    pub(crate) untimed: bool,
    /// Where it is of a block.
    pub(crate) at: Option<At>,
    /// Up to where in the class it lasts, whatever comes before it.
    pub(crate) mark: Option<Ms>,
    /// Which piece of the class as written it is, so that equal looking ones are told apart.
    pub(crate) id: u32,
}

/// Where in a block a piece stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct At {
    pub(crate) block: usize,
    pub(crate) pass: usize,
    /// The minute of an `Emom`.
    pub(crate) window: Option<usize>,
    /// From one start of it to the next.
    pub(crate) every: Option<Ms>,
    /// After which time the block ends by itself.
    pub(crate) cap: Option<Ms>,
    pub(crate) form: Form,
    /// Which round it is of, and which move, of how many.
    pub(crate) round: usize,
    pub(crate) place: usize,
    pub(crate) moves: usize,
}

/// How a block goes through its works.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Form {
    Rounds,
    Sets,
    Grid,
    /// A circuit repeated freely.
    Window,
}

impl Piece {
    pub(crate) fn is_moving(&self) -> bool {
        matches!(self.kind, Kind::Work | Kind::WarmUp | Kind::CoolDown)
    }

    pub(crate) fn window(&self) -> Option<(usize, usize)> {
        let at = self.at?;
        at.window.map(|window| (at.block, window))
    }

    /// Whether a circuit is repeated freely in it.
    pub(crate) fn is_free(&self) -> bool {
        self.kind == Kind::Work && self.at.is_some_and(|at| at.form == Form::Window)
    }

    /// From one start of its grid to the next, if it has one.
    pub(crate) fn every(&self) -> Ms {
        self.at.and_then(|at| at.every).unwrap_or(0)
    }

    pub(crate) fn pass(&self) -> Option<(usize, usize)> {
        self.at.map(|at| (at.block, at.pass))
    }

    /// Where people change sides in a piece of this length.
    pub(crate) fn switch_in(&self, length: Ms) -> Option<Ms> {
        let each = self.moves.len() == 1 && self.moves[0].of.sides == Sides::Each;
        (each && self.is_moving() && !self.untimed).then_some(length / 2)
    }

    pub(crate) fn uses(&self, thing: &str) -> bool {
        self.moves
            .iter()
            .any(|of| things(of).any(|own| own == thing))
    }
}

/// The class as written.
pub(crate) fn expand(session: &Session) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut block = 0;
    let mut flat = Vec::new();
    session
        .parts
        .iter()
        .for_each(|of| unrolled(of, None, &mut flat));
    for (part, (of, mark)) in flat.into_iter().enumerate() {
        let first = pieces.len();
        match of {
            Part::Talk { time, .. } => pieces.push(plain(Kind::Talk, part, time.millis())),
            Part::Ready { time } => pieces.push(plain(Kind::Ready, part, time.millis())),
            Part::Recover { time, turn, .. } => pieces.push(Piece {
                moves: turn.iter().cloned().collect(),
                ..plain(Kind::Recovery, part, time.millis())
            }),
            Part::WarmUp(steps) => pieces.extend(steps.iter().map(|s| step(Kind::WarmUp, part, s))),
            Part::CoolDown(steps) => {
                pieces.extend(steps.iter().map(|s| step(Kind::CoolDown, part, s)));
            }
            Part::Block(of) => {
                block += 1;
                expand_block(of, part, block, &mut pieces);
            }
            Part::Free { time, .. } => pieces.push(plain(Kind::Free, part, time.millis())),
            Part::Repeat { .. } | Part::Until { .. } => unreachable!("unrolled"),
        }
        pieces[first..]
            .iter_mut()
            .for_each(|piece| piece.mark = mark);
    }
    pieces.retain(|piece| piece.length > 0);
    for (n, piece) in pieces.iter_mut().enumerate() {
        piece.id = u32::try_from(n).expect("a small class");
    }
    pieces
}

/// README: the parts of a `Repeat` come so often, its recovery between two goes.
fn unrolled<'a>(of: &'a Part, mark: Option<Ms>, out: &mut Vec<(&'a Part, Option<Ms>)>) {
    match of {
        Part::Until { mark, part } => unrolled(part, Some(mark.millis()), out),
        Part::Repeat {
            times,
            parts,
            between,
        } => {
            for go in 0..*times {
                if let Some(between) = between.as_deref().filter(|_| go > 0) {
                    unrolled(between, mark, out);
                }
                for part in parts {
                    unrolled(part, mark, out);
                }
            }
        }
        of => out.push((of, mark)),
    }
}

fn plain(kind: Kind, part: usize, length: Ms) -> Piece {
    Piece {
        kind,
        part,
        moves: Vec::new(),
        length,
        written: length,
        untimed: false,
        at: None,
        mark: None,
        id: 0,
    }
}

fn step(kind: Kind, part: usize, step: &Step) -> Piece {
    // README: planned at three seconds a repetition.
    let counted = || 3000 * u64::from(step.turn.reps.expect("counted"));
    Piece {
        moves: vec![step.turn.clone()],
        untimed: step.time.is_none(),
        ..plain(kind, part, step.time.map_or_else(counted, Span::millis))
    }
}

/// The one move of a place: several at once are not in the model's classes.
fn one(doing: &Doing) -> &Arc<Use> {
    match doing {
        Doing::One(turn) => turn,
        Doing::Together(_) => panic!("several moves at once in a class of the model"),
    }
}

fn expand_block(block: &Block, part: usize, number: usize, pieces: &mut Vec<Piece>) {
    let of_block = |kind, moves: &[Arc<Use>], length, at| Piece {
        moves: moves.to_vec(),
        at: Some(at),
        ..plain(kind, part, length)
    };
    let mut at = At {
        block: number,
        pass: 1,
        window: None,
        form: Form::Rounds,
        round: 1,
        place: 0,
        moves: block.moves.len(),
        every: None,
        cap: match block.pattern {
            Pattern::Reps { cap, .. } => cap.map(Span::millis),
            _ => None,
        },
    };
    let first = pieces.len();
    match &block.pattern {
        Pattern::Amrap { time } => {
            at.form = Form::Window;
            let moves: Vec<Arc<Use>> = block.moves.iter().map(|doing| one(doing).clone()).collect();
            pieces.push(of_block(Kind::Work, &moves, time.millis(), at));
        }
        Pattern::Emom { times, every, work } => {
            for minute in 0..usize::try_from(*times).expect("few windows") {
                let place = minute % block.moves.len();
                let round = minute / block.moves.len();
                let turn = in_round(one(&block.moves[place]), round);
                let every = every.millis();
                let work = turn.work.or(*work).map_or(every, Span::millis);
                at.pass = round + 1;
                at.window = Some(minute);
                (at.form, at.round, at.place) = (Form::Grid, at.pass, place);
                at.every = Some(every);
                pieces.push(of_block(Kind::Work, std::slice::from_ref(turn), work, at));
                let between: Vec<_> = block.between.iter().cloned().collect();
                pieces.push(of_block(Kind::Rest, &between, every - work, at));
            }
        }
        _ => expand_rounds(block, &mut |kind, turn, length, untimed, (round, place)| {
            (at.round, at.place) = (round + 1, place);
            (at.form, at.pass) = match block.order {
                Order::ByRound => (Form::Rounds, at.round),
                Order::ByMove => (Form::Sets, place + 1),
            };
            let between = block.between.as_ref().filter(|_| kind == Kind::Rest);
            let moves: &[Arc<Use>] = turn.or(between).map_or(&[], std::slice::from_ref);
            pieces.push(Piece {
                untimed,
                ..of_block(kind, moves, length, at)
            });
        }),
    }
    if let Some(cap) = at.cap {
        fit(cap, &mut pieces[first..]);
    }
}

/// README: where counted works would take longer at their pace than a cap leaves them, they are
/// planned so that they just fit.
fn fit(cap: Ms, pieces: &mut [Piece]) {
    let sum = |pieces: &[Piece], untimed| -> Ms {
        let these = pieces.iter().filter(|piece| piece.untimed == untimed);
        these.map(|piece| piece.length).sum()
    };
    let (timed, counted) = (sum(pieces, false), sum(pieces, true));
    let room = (cap - timed).min(counted);
    let mut so_far = 0;
    for piece in pieces.iter_mut().filter(|piece| piece.untimed) {
        let before = so_far * room / counted;
        so_far += piece.length;
        piece.length = so_far * room / counted - before;
        piece.written = piece.length;
    }
}

/// All works of a block that is no grid and no window, with the pauses between them.
fn expand_rounds(
    block: &Block,
    put: &mut impl FnMut(Kind, Option<&Arc<Use>>, Ms, bool, (usize, usize)),
) {
    let rounds = match &block.pattern {
        Pattern::Rounds { work, .. } => work.len(),
        Pattern::Same { rounds, .. } | Pattern::Reps { rounds, .. } => {
            usize::try_from(*rounds).expect("few rounds")
        }
        Pattern::Emom { .. } | Pattern::Amrap { .. } => unreachable!("no rounds"),
    };
    let moves = block.moves.len();
    let order: Vec<(usize, usize)> = match block.order {
        Order::ByRound => (0..rounds * moves)
            .map(|n| (n / moves, n % moves))
            .collect(),
        Order::ByMove => (0..rounds * moves)
            .map(|n| (n % rounds, n / rounds))
            .collect(),
    };
    let pass_of = |(round, place): (usize, usize)| match block.order {
        Order::ByRound => round,
        Order::ByMove => place,
    };
    for (n, &(round, place)) in order.iter().enumerate() {
        let turn = in_round(one(&block.moves[place]), round);
        let (work, untimed) = work_of(block, turn, round);
        let rest = rest_of(block, turn, round);
        let pass = pass_of((round, place));
        put(Kind::Work, Some(turn), work, untimed, (round, place));
        let Some(&next) = order.get(n + 1) else {
            if block.last_rest {
                put(Kind::Rest, None, rest, false, (round, place));
            }
            break;
        };
        match block.recovery.filter(|_| pass_of(next) != pass) {
            Some(recovery) => put(
                Kind::Recovery,
                None,
                recovery.millis(),
                false,
                (round, place),
            ),
            None => put(Kind::Rest, None, rest, false, (round, place)),
        }
    }
}

fn work_of(block: &Block, turn: &Use, round: usize) -> (Ms, bool) {
    if let (Pattern::Reps { pace, .. }, None) = (&block.pattern, turn.work) {
        return (u64::from(turn.reps.expect("counted")) * pace.millis(), true);
    }
    let usual = match &block.pattern {
        Pattern::Rounds { work, .. } => work[round],
        Pattern::Same { work, .. } => *work,
        _ => Span::ZERO,
    };
    (turn.work.unwrap_or(usual).millis(), false)
}

fn rest_of(block: &Block, turn: &Use, round: usize) -> Ms {
    let usual = match &block.pattern {
        Pattern::Rounds { rest, .. } => *rest.get(round).unwrap_or(&rest[0]),
        Pattern::Same { rest, .. } | Pattern::Reps { rest, .. } => *rest,
        _ => unreachable!("no rounds"),
    };
    turn.rest.unwrap_or(usual).millis()
}

/// README: one entry a round, or several taken in turn.
fn in_round(turn: &Arc<Use>, round: usize) -> &Arc<Use> {
    match turn.rounds.len() {
        0 => turn,
        entries => &turn.rounds[round % entries],
    }
}

/// What a version needs: one that gets up from the floor, no mat.
fn things(of: &Use) -> impl Iterator<Item = &str> {
    let own = of.of.equipment.iter().map(String::as_str);
    let gets_up = is_up(place_of(of)) && !is_up(of.of.position);
    own.filter(move |thing| !gets_up || *thing != "mat")
}

/// Where the body is in the version that is done.
pub(crate) fn place_of(of: &Use) -> Position {
    let option = of.pick.and_then(|pick| match pick {
        Pick::Easier(n) => of.of.easier.get(n),
        Pick::Harder(n) => of.of.harder.get(n),
        Pick::Instead(n) => of.of.instead.get(n),
    });
    option
        .and_then(|option| option.position)
        .unwrap_or(of.of.position)
}

pub(crate) const fn is_up(position: Position) -> bool {
    matches!(position, Position::Standing | Position::Wall)
}

/// What the body needs from one move to the next, the mat being where it was put.
///
/// README, Cueing: `change` between standing and the floor, `shift` between floor positions,
/// `fetch` where a thing must be fetched; before work `lead` besides, and never less than the count
/// and two seconds.
pub(crate) fn need(cueing: &Cueing, before: Option<&Piece>, after: &Piece, mat_lies: bool) -> Ms {
    let nobody = Vec::new();
    let before = before.map_or(&nobody, |piece| &piece.moves);
    let to = place_of(&after.moves[0]);
    let ways = before.iter().map(|of| way(cueing, place_of(of), to));
    let way = ways
        .max()
        .unwrap_or_else(|| way(cueing, Position::Standing, to));
    let at_hand = |thing: &str| {
        thing == "mat" && mat_lies || before.iter().any(|of| things(of).any(|own| own == thing))
    };
    let fetch = after
        .moves
        .iter()
        .flat_map(|of| things(of))
        .any(|thing| !at_hand(thing));
    let body = way + if fetch { cueing.fetch.millis() } else { 0 };
    if after.kind == Kind::Work {
        (cueing.lead.millis() + body).max(least(cueing))
    } else {
        body
    }
}

/// The least time in which a start can be counted in.
pub(crate) fn least(cueing: &Cueing) -> Ms {
    u64::from(cueing.count) * 1000 + 2000
}

fn way(cueing: &Cueing, from: Position, to: Position) -> Ms {
    match (is_up(from), is_up(to)) {
        _ if from == to => 0,
        (true, false) | (false, true) => cueing.change.millis(),
        _ => cueing.shift.millis(),
    }
}
