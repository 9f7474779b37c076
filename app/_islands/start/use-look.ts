import { useState } from 'react';
import type { Melody } from '../../../lib/melody';
import type { CreateBoard } from '../../../shared/api/create-board';
import { savedMusicOf } from '../../../shared/api/saved-board';
import { fitted } from '../../../shared/board/fitted';
import type { Preview, Previewed } from './preview-tune';
import type { Chosen } from './read-tune';
import type { Setting } from './setting';

/** The melody while it is corrected, with the way back. */
export interface Correcting {
  readonly correct: (melody: Melody) => void;
  readonly undo: () => void;
  readonly canUndo: boolean;
}

/** A look at a tune before there is a board. */
export interface Look {
  readonly previewed: Previewed | undefined;
  readonly look: (
    source: CreateBoard['tune'],
    chosen: Chosen,
    setting: Setting,
  ) => Promise<Previewed>;
  /** Another setting for the same melody, corrections kept. */
  readonly reset: (setting: Setting) => Promise<Previewed | undefined>;
  readonly forget: () => void;
  readonly correcting: Correcting;
  /** What the tune that is looked at is called. */
  readonly title: string | undefined;
  /** What a board is to start from: the tune as it was looked at, where its melody was corrected. */
  readonly wanted: CreateBoard['tune'] | undefined;
}

/** Steps that can be taken back. */
const KEPT_STEPS = 200;

function titleOf(preview: Preview): string {
  return preview.kind === 'melody' ? preview.melody.title : preview.tune.title;
}

export function useLook(): Look {
  const [previewed, setPreviewed] = useState<Previewed>();
  const [past, setPast] = useState<readonly Melody[]>([]);
  const melodyPreview =
    previewed?.ok && previewed.preview.kind === 'melody' ? previewed.preview : undefined;

  const show = async (melody: Melody) => {
    if (!melodyPreview) return;
    const { corrected } = await import('./preview-tune');
    setPreviewed({ ok: true, preview: corrected(melodyPreview, melody) });
  };
  const correcting: Correcting = {
    correct: (melody) => {
      if (!melodyPreview || melody === melodyPreview.melody) return;
      setPast([...past, melodyPreview.melody].slice(-KEPT_STEPS));
      void show(melody);
    },
    undo: () => {
      const before = past.at(-1);
      if (!before) return;
      setPast(past.slice(0, -1));
      void show(before);
    },
    canUndo: past.length > 0,
  };
  return {
    previewed,
    look: async (source, chosen, setting) => {
      const { previewTune } = await import('./preview-tune');
      const found = previewTune(source, chosen, setting);
      setPast([]);
      setPreviewed(found);
      return found;
    },
    reset: async (setting) => {
      if (!melodyPreview) return undefined;
      const { previewMelody } = await import('./preview-tune');
      const found = previewMelody(melodyPreview.melody, setting, melodyPreview.remarks);
      if (found.ok) setPreviewed(found);
      return found;
    },
    forget: () => {
      setPreviewed(undefined);
      setPast([]);
    },
    correcting,
    title: previewed?.ok ? titleOf(previewed.preview) : undefined,
    wanted:
      melodyPreview && past.length > 0
        ? { board: savedMusicOf(fitted(melodyPreview.arrangement.tune).tune) }
        : undefined,
  };
}
