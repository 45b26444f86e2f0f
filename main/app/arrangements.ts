import { applyCommand, applyDiff, invertDiff } from '../../shared-core/arrangement/fold.ts';
import type { ArrangementState, Command, Placement } from '../../shared-core/arrangement/model.ts';
import {
  decodeCommand,
  decodeDiff,
  decodeState,
  encode,
} from '../../shared-core/contract/codec.ts';
import type { Answer, ContractError } from '../../shared-core/contract/errors.ts';
import type { ArrangementRecord, ArrangementUpdate } from '../../shared-core/contract/types.ts';
import type { WireCommand, WireState } from '../../shared-core/contract/wire.ts';
import { err, ok, type Result } from '../../shared-core/result.ts';
import type { Ticks } from '../../shared-core/time/meter.ts';
import type { Decision, PastDecision, StoredArrangement } from '../library/arrangements.ts';
import type { TasteMark } from '../library/taste.ts';
import { type AppContext, freshState, knownTune } from './context.ts';
import { answerOf, fromCommand, success } from './failures.ts';
import { restoreState } from './restore.ts';

type Stepped = Result<{ state: WireState; taste: readonly TasteMark[] }, ContractError>;

/** Makes an arrangement of plain choruses; answers its id. */
export function createArrangement(
  context: AppContext,
  tuneId: string,
  name: string,
  choruses: number,
): Answer<{ readonly id: string }> {
  const made = answerOf(context.library.arrangements.create(tuneId, freshState(name, choruses)));
  return made.ok ? success({ id: made.value }) : made;
}

/** An arrangement with its history. */
export function getArrangement(context: AppContext, id: string): Answer<ArrangementRecord> {
  const stored = answerOf(context.library.arrangements.get(id));
  if (!stored.ok) return stored;
  const whole = restoreState(stored.value);
  if (!whole.ok) return whole;
  const { tuneId } = stored.value;
  return success({ id, tuneId, ...updateOf(context, stored.value) });
}

/** Makes a decision and keeps it with its effect. */
export function applyToArrangement(
  context: AppContext,
  id: string,
  revision: number,
  command: WireCommand,
): Answer<ArrangementUpdate> {
  const chorus = chorusLength(context, id);
  if (!chorus.ok) return chorus;
  const decoded = decodeCommand(command);
  if (!decoded.ok) return decoded;
  const outside = placementsOf(decoded.value).find((placement) => placement.start >= chorus.value);
  if (outside) return pastTheForm(outside, chorus.value);
  const decided = context.library.arrangements.decide<ContractError>(id, revision, (wire) =>
    decide(wire, decoded.value),
  );
  return updated(context, decided);
}

/** Takes back the last decision. */
export function undoInArrangement(
  context: AppContext,
  id: string,
  revision: number,
): Answer<ArrangementUpdate> {
  const undone = context.library.arrangements.undo<ContractError>(id, revision, (wire, past) =>
    step(wire, past, 'back'),
  );
  return updated(context, undone);
}

/** Makes the decision again that was taken back last. */
export function redoInArrangement(
  context: AppContext,
  id: string,
  revision: number,
): Answer<ArrangementUpdate> {
  const redone = context.library.arrangements.redo<ContractError>(id, revision, (wire, past) =>
    step(wire, past, 'on'),
  );
  return updated(context, redone);
}

function decide(wire: WireState, command: Command): Result<Decision, ContractError> {
  const state = decodeState(wire);
  if (!state.ok) return state;
  const applied = applyCommand(state.value, command);
  if (!applied.ok) return err(fromCommand(applied.error));
  return ok({
    state: encode(applied.value.state),
    command: encode(command),
    diff: encode(applied.value.diff),
    label: applied.value.label,
    taste: tasteOfCommand(command, state.value),
  });
}

function step(wire: WireState, past: PastDecision, way: 'back' | 'on'): Stepped {
  const state = decodeState(wire);
  if (!state.ok) return state;
  const diff = decodeDiff(past.diff);
  if (!diff.ok) return diff;
  const command = decodeCommand(past.command);
  if (!command.ok) return command;
  const next = applyDiff(state.value, way === 'back' ? invertDiff(diff.value) : diff.value);
  // Taste is read off the state in which the decision was made.
  const taste = tasteOfCommand(command.value, way === 'back' ? next : state.value);
  return ok({ state: encode(next), taste });
}

/**
 * What a decision says about the leader's taste: taking a proposal, laying one aside, or thinking better of
 * that. A batch fills choruses by a plan and says nothing about single devices.
 */
function tasteOfCommand(command: Command, before: ArrangementState): readonly TasteMark[] {
  if (command.kind === 'accept' && command.placement.origin.kind === 'proposal') {
    const { device, degree } = command.placement.origin;
    return [{ device, degree, verdict: 'accepted', by: 1 }];
  }
  if (command.kind === 'reject') {
    const { device, degree } = command.rejection;
    return [{ device, degree, verdict: 'rejected', by: 1 }];
  }
  if (command.kind === 'unreject') {
    const rejection = before.rejections[command.rejection];
    if (!rejection) return [];
    return [{ device: rejection.device, degree: rejection.degree, verdict: 'rejected', by: -1 }];
  }
  return [];
}

function placementsOf(command: Command): readonly Placement[] {
  if (command.kind === 'batch') return command.commands.flatMap(placementsOf);
  return command.kind === 'accept' || command.kind === 'edit' ? [command.placement] : [];
}

function chorusLength(context: AppContext, id: string): Answer<Ticks> {
  const stored = answerOf(context.library.arrangements.get(id));
  if (!stored.ok) return stored;
  const known = knownTune(context, stored.value.tuneId);
  return known.ok ? success(known.value.analysis.chorus.length) : known;
}

function pastTheForm(placement: Placement, chorus: Ticks): Answer<never> {
  return {
    ok: false,
    error: fromCommand({
      code: 'arrangement/out-of-range',
      data: { start: placement.start, length: chorus },
    }),
  };
}

function updated(
  context: AppContext,
  result: Parameters<typeof answerOf<StoredArrangement>>[0],
): Answer<ArrangementUpdate> {
  const answer = answerOf(result);
  return answer.ok ? success(updateOf(context, answer.value)) : answer;
}

function updateOf(context: AppContext, stored: StoredArrangement): ArrangementUpdate {
  const history = context.library.arrangements.history(stored.id);
  return {
    revision: stored.revision,
    state: stored.state,
    history,
    canUndo: history.some((entry) => !entry.undone),
    canRedo: history.some((entry) => entry.undone),
  };
}
