/** A measure that was drawn before. Escaping was the serializer's. */
export function Drawing({ html }: { readonly html: string }) {
  return <div className="tab" dangerouslySetInnerHTML={{ __html: html }} />;
}
