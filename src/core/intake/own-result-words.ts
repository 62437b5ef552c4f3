/** The wrench's own result, in the words that wrenches use. A number is never taken for one: 0 may mean "no fault". */
const good = new Set(
  'ok okay o.k. io i.o i.o. pass passed p good accept accepted acc true yes ja oui si gut g conforme correct goed dobry dobrze dobra bom boa bueno bien godkänd godkand in.ordnung 合格 良 通过 合格品'.split(
    ' ',
  ),
);
const bad = new Set(
  'nok n.o.k. nok. no.ok not.ok nio n.i.o n.i.o. n.io fail failed f bad reject rejected rej ng n.g. false nein non schlecht fout afgekeurd zły zle zły. mau malo mala mauvais lo low hi high low-torque high-torque ko underkänd underkand 不合格 不良 失败'.split(
    ' ',
  ),
);

/** True good, false bad, null: not a word for a result. */
export function ownResultOf(text: string): boolean | null {
  const word = text
    .trim()
    .toLowerCase()
    .replace(/[\s_]+/g, '.');
  if (word.length === 0 || word.length > 14) return null;
  if (good.has(word)) return true;
  if (bad.has(word)) return false;
  return null;
}
