/**
 * The audio thread's script: `lib/sound` and what feeds it, in one file of our own. It is made once, when the pages are built, since
 * an audio worklet can neither load what a page's bundle is cut into nor be written in TypeScript.
 */
export const dynamic = 'force-static';

export async function GET(): Promise<Response> {
  const { build } = await import(/* turbopackIgnore: true */ 'esbuild');
  const { outputFiles } = await build({
    entryPoints: ['app/_islands/sound/worklet.ts'],
    bundle: true,
    write: false,
    minify: true,
    format: 'esm',
    target: 'es2022',
  });
  const [script] = outputFiles;
  if (!script) throw new Error('the audio worklet came out empty');
  return new Response(script.text, {
    headers: { 'content-type': 'text/javascript; charset=utf-8', 'cache-control': 'no-cache' },
  });
}
