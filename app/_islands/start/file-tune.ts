import type { CreateBoard } from '../../../shared/api/create-board';

/** A file that was chosen or dropped, as the server takes it. */
export interface FileTune {
  readonly name: string;
  readonly tune: CreateBoard['tune'];
}

async function base64Of(file: File): Promise<string> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  // In pieces: a call takes only so many arguments.
  let text = '';
  for (let at = 0; at < bytes.length; at += 8192)
    text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return btoa(text);
}

function savedBoard(text: string): CreateBoard['tune'] {
  try {
    return { board: JSON.parse(text) };
  } catch (error) {
    // The server says in words that this is no saved board.
    if (error instanceof SyntaxError) return { board: text };
    throw error;
  }
}

/** What a file holds, told by its name: ABC unless it says otherwise. What is in it is for the server to judge. */
export async function tuneOfFile(file: File): Promise<FileTune> {
  const { name } = file;
  const ending = /\.([a-z]+)$/i.exec(name)?.[1]?.toLowerCase();
  switch (ending) {
    case 'musicxml':
    case 'xml':
      return { name, tune: { musicxml: await file.text() } };
    case 'mxl':
      return { name, tune: { mxl: await base64Of(file) } };
    case 'mid':
    case 'midi':
      return { name, tune: { midi: await base64Of(file) } };
    case 'json':
      return { name, tune: savedBoard(await file.text()) };
    default:
      return { name, tune: { abc: await file.text() } };
  }
}
