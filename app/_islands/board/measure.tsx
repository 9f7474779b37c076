import type { MeasureOptions } from '../../../lib/engrave/measure';
import type { Stroke } from '../../../lib/tab/measure';
import type { PlainMeasure } from '../../../lib/tune';
import { measureOf } from '../../../lib/tune';
import type { MeasureId, ParticipantId } from '../../../lib/units';
import { describe } from '../../../lib/words/describe';
import { isProposedBy } from '../../../shared/board/same';
import type { Board } from '../../../shared/board/schema';
import { plainId } from '../../../shared/board/schema';
import type { Presence } from '../../../shared/wire/presence';
import { Claim } from '../exercise/claim';
import { HearButton } from '../sound/hear-button';
import { HearVariant } from '../sound/hear-variant';
import { Tab } from '../tab/tab';
import type { BoardActs } from './acts';
import { Ring } from './people';
import type { VotesView } from './sights';
import { lookersAt, nameOf, passesWith, passWords, variantsOf } from './sights';
import type { Structuring } from './use-structure';
import { Approve, Overrule, VariantCard } from './variant';

/** Everything that a measure on the board page needs to know. */
export interface BoardSight {
  readonly board: Board;
  readonly here: readonly Presence[];
  readonly votes: VotesView;
  readonly me: ParticipantId;
  readonly leads: boolean;
  /** Absent for a watcher and until scripts run. */
  readonly acts: BoardActs | undefined;
  /** For a leader: the structure of the tune. */
  readonly structure: Structuring | undefined;
  /** Is the exercise over that is set, if one is? */
  readonly over: boolean;
}

/** What opens under a measure's line: a workbench that starts from these strokes. */
export interface Opened {
  readonly measure: MeasureId;
  readonly from: readonly Stroke[];
}

/** A measure of the tune with its variants below it. */
export function MeasureColumn({
  sight,
  plain,
  number,
  signs,
  opened,
  open,
}: {
  readonly sight: BoardSight;
  readonly plain: PlainMeasure;
  readonly number: number;
  readonly signs: MeasureOptions;
  readonly opened: boolean;
  readonly open: (opened: Opened | undefined) => void;
}) {
  const { board, acts, votes, leads } = sight;
  const { neck, meter } = board.tune;
  const measure = measureOf(meter, plain);
  const named = number === 0 ? 'the pickup' : `measure ${number}`;
  const lookers = lookersAt(board, sight.here, plain.id, sight.me);
  const canVote = acts !== undefined && board.voting === 'open';
  const vote = (id: Parameters<BoardActs['approve']>[0]) =>
    canVote ? (approves: boolean) => acts.approve(id, approves) : undefined;
  const overruled = board.overruled[plain.id];
  const heard = { measure, place: `[data-measure="${plain.id}"] .plain .tab` };
  const controls = (id: Board['variants'][number]['id'] | 'plain', what: string) => {
    const ballot = id === 'plain' ? plainId(plain.id) : id;
    return (
      <>
        <Approve
          what={what}
          votes={votes.tally.get(ballot) ?? 0}
          mine={votes.mine.has(ballot)}
          elsewhere={votes.elsewhere.has(ballot)}
          vote={vote(ballot)}
        />
        {leads && acts && (
          <Overrule
            chosen={overruled === id}
            what={what}
            choose={(chosen) => acts.overrule(plain.id, chosen ? id : undefined)}
          />
        )}
      </>
    );
  };
  return (
    <li className="column" data-measure={plain.id}>
      <div className="plain" data-opened={opened || undefined}>
        <Tab measure={measure} label={`${named}: ${describe(measure, neck)}`} options={signs} />
        <div className="column-line">
          {controls('plain', `the plain ${named}`)}
          <HearButton measures={[heard]} neck={neck} tempo={board.tune.tempo} what={named} />
          {acts && (
            <button
              type="button"
              className="button button-small button-vary"
              aria-expanded={opened}
              onClick={() => open(opened ? undefined : { measure: plain.id, from: plain.strokes })}
            >
              <span>
                vary it <span className="sr-only">{named}</span>
              </span>
            </button>
          )}
          {lookers.length > 0 && (
            <span className="flex items-center gap-1" data-testid="lookers">
              <span className="sr-only">looked at by</span>
              {lookers.map((id) => (
                <Ring key={id} name={nameOf(board.people, id)} />
              ))}
            </span>
          )}
        </div>
      </div>
      <Claim
        board={board}
        measure={plain.id}
        named={named}
        me={sight.me}
        acts={acts}
        over={sight.over}
      />
      <ul className="variants">
        {variantsOf(board, plain.id).map((variant) => {
          const author = nameOf(board.people, variant.author);
          const passes = passesWith(board, plain.id, variant.id);
          return (
            <VariantCard
              key={variant.id}
              id={variant.id}
              measure={measureOf(meter, plain, variant.strokes)}
              neck={neck}
              author={author}
              note={variant.note}
              played={passes.length > 0 ? `agreed for ${passWords(passes)}` : ''}
            >
              {controls(variant.id, `${author}'s variant of ${named}`)}
              <HearVariant
                plain={heard}
                variant={variant}
                tune={board.tune}
                what={`${author}'s variant of ${named}`}
              />
              {acts && (
                <button
                  type="button"
                  className="button button-small"
                  onClick={() => open({ measure: plain.id, from: variant.strokes })}
                >
                  <span>
                    go on from it{' '}
                    <span className="sr-only">
                      {author}'s variant of {named}
                    </span>
                  </span>
                </button>
              )}
              {acts && isProposedBy(variant, sight.me) && (
                <button
                  type="button"
                  className="button button-small"
                  onClick={() => acts.takeBack(variant.id)}
                >
                  <span>
                    take back <span className="sr-only">my variant of {named}</span>
                  </span>
                </button>
              )}
            </VariantCard>
          );
        })}
      </ul>
    </li>
  );
}
