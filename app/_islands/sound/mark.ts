/** The stroke that is heard, marked in the picture where it stands. */
export class StrokeMark {
  private picture: Element | null = null;
  private marked: readonly Element[] = [];
  private place = '';

  /** @param place CSS selector of the picture; undefined takes the mark away */
  show(place: string | undefined, stroke: number | undefined): void {
    const wanted = `${place} ${stroke}`;
    const shown = this.picture === null || this.picture.isConnected;
    if (wanted === this.place && shown) return;
    this.place = wanted;
    const picture = place === undefined ? null : document.querySelector(place);
    if (picture !== this.picture) {
      this.picture?.removeAttribute('data-now');
      this.picture?.removeAttribute('data-heard');
      picture?.setAttribute('data-now', '');
      picture?.scrollIntoView({ block: 'nearest' });
      this.picture = picture;
    }
    for (const old of this.marked) old.removeAttribute('data-now');
    this.marked =
      stroke === undefined
        ? []
        : [...(picture?.querySelectorAll(`[data-stroke="${stroke}"]`) ?? [])];
    for (const element of this.marked) element.setAttribute('data-now', '');
    if (picture instanceof HTMLElement) {
      picture.dataset.heard = stroke === undefined ? '' : String(stroke);
      const across = acrossOf(picture, this.marked);
      if (across !== undefined) picture.style.setProperty('--at', `${(100 * across).toFixed(2)}%`);
    }
  }

  takeAway(): void {
    this.show(undefined, undefined);
  }
}

/** How far to the right the stroke stands, as a part of the picture's width. */
function acrossOf(picture: Element, marked: readonly Element[]): number | undefined {
  const svg = picture.querySelector('svg');
  const sign = marked.find((element) => element.classList.contains('tab-fret')) ?? marked[0];
  if (!svg || !(sign instanceof SVGGraphicsElement)) return undefined;
  const { x, width } = sign.getBBox();
  return (x + width / 2) / svg.viewBox.baseVal.width;
}
