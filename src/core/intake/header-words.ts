/**
 * What column names mean, in the languages wrenches are sold with: en, de, fr, es, it, nl, sv, pl, pt and the basics in
 * Chinese, Japanese and Korean. Words of the trade; common practice, no single source.
 */
import type { Role } from './vocabulary.ts';

/** A name may also say "some measured value" without saying which. */
export type HeaderRole = Role | 'value' | 'batch';

export interface HeaderMeaning {
  readonly role: HeaderRole;
  /** 3 the whole name is the word, 2 the word is part of the name, 1 a short form that means other things too. */
  readonly strength: 1 | 2 | 3;
  readonly word: string;
}

const words: Readonly<Record<HeaderRole, string>> = {
  date: 'date|day|datum|tag|fecha|dia|data|giorno|dag|dzien|jour|messdatum|prufdatum|date of tightening|tightening date|cycle date|日期|日付|年月日|날짜',
  time: 'time|clock|time of day|uhrzeit|zeit|heure|hora|ora|tijd|tid|klockslag|czas|godzina|klocka|messzeit|hms|cycle time of day|时间|時間|時刻|시간',
  'date-time':
    'date time|datetime|date and time|date/time|timestamp|time stamp|zeitstempel|datum uhrzeit|datum zeit|datum und uhrzeit|datum/zeit|datum/uhrzeit|horodatage|date heure|date et heure|date/heure|fecha hora|fecha y hora|fecha/hora|marca de tiempo|data ora|data e ora|data/ora|datum tijd|datum en tijd|datum/tijd|tijdstip|datum tid|datum och tid|tidpunkt|tidsstampel|data godzina|data i godzina|data czas|znacznik czasu|data hora|data e hora|data/hora|recorded|recorded at|measured at|tightened at|when|zeitpunkt|日時|日期时间|时间戳|일시',
  torque:
    'torque|final torque|end torque|measured torque|torque result|torque value|actual torque|act torque|peak torque|peak|torque peak|applied torque|shown torque|tightening torque|torque actual|md|ma|drehmoment|moment|anzugsmoment|anziehdrehmoment|anziehmoment|istmoment|ist moment|drehmoment ist|endmoment|end drehmoment|enddrehmoment|spitzenwert|couple|couple final|couple mesure|couple de serrage|par|par final|par de apriete|par apriete|torque final|par medido|momento|momento torcente|coppia|coppia finale|coppia di serraggio|coppia misurata|koppel|aanhaalmoment|aandraaimoment|draaimoment|eindkoppel|eindmoment|vridmoment|atdragningsmoment|slutmoment|moment slut|moment dokrecenia|moment dokrecania|moment obrotowy|moment koncowy|binario|torque medido|binario final|momento de aperto|扭矩|扭力|最终扭矩|トルク|締付トルク|締め付けトルク|토크',
  'torque-unit':
    'unit|units|torque unit|unit of torque|uom|unit torque|einheit|einh|masseinheit|momenteneinheit|drehmomenteinheit|unite|unites|unite couple|unidad|unidades|unita|unita di misura|eenheid|enhet|jednostka|unidade|单位|単位|단위',
  angle:
    'angle|final angle|end angle|measured angle|rotation angle|turn angle|tightening angle|ang|angle result|actual angle|angle actual|degrees|degree|deg|winkel|drehwinkel|endwinkel|weiterdrehwinkel|istwinkel|winkel ist|angle final|angle de serrage|angulo|angulo final|angolo|angolo finale|hoek|draaihoek|eindhoek|vinkel|slutvinkel|vridvinkel|kat|kat obrotu|kat koncowy|角度|最终角度|각도',
  tool: 'tool|tool id|tool no|tool number|tool serial|tool serial number|tool s/n|wrench|wrench id|wrench no|wrench serial|torque wrench|serial|serial no|serial number|serial nr|s/n|sn|device|device id|device serial|device serial number|instrument|equipment|werkzeug|werkzeug nr|werkzeugnummer|schlussel|schlussel nr|drehmomentschlussel|seriennummer|serien nr|seriennr|gerat|gerate nr|geratenummer|outil|no outil|numero outil|cle|cle dynamometrique|numero de serie|no de serie|n de serie|appareil|herramienta|llave|llave dinamometrica|n serie|numero serie|utensile|chiave|chiave dinamometrica|matricola|numero di serie|gereedschap|sleutel|momentsleutel|serienummer|serie nr|toestel|verktyg|nyckel|momentnyckel|narzedzie|klucz|klucz dynamometryczny|numer seryjny|nr seryjny|nr narzedzia|ferramenta|chave|torquimetro|no de serie|工具|扳手|工具号|序列号|編号|レンチ|工具番号|シリアル番号|공구|렌치',
  operator:
    'operator|operator id|operator no|operator name|user|user id|user name|username|worker|employee|employee id|employee no|employee name|emp|emp id|emp no|emp name|badge|badge no|personnel|person|staff|bediener|benutzer|prufer|pruefer|monteur|werker|mitarbeiter|personalnummer|pers nr|personal nr|ausweis|operateur|utilisateur|ouvrier|matricule|operario|operador|usuario|trabajador|operatore|utente|addetto|gebruiker|medewerker|bediener id|operatoer|anvandare|montor|uzytkownik|pracownik|utilizador|trabalhador|操作员|操作者|用户|作業者|ユーザー|작업자|사용자',
  joint:
    'joint|joint id|joint no|joint name|joint number|program|programme|program no|program name|pset|parameter set|application|job|job no|job name|task|screw position|screw point|bolt position|tightening point|location|position name|feature|characteristic|schraubstelle|schraubfall|verschraubung|schraubverbindung|schraubposition|programm|programm nr|auftrag nr|anwendung|merkmal|messstelle|pruefstelle|assemblage|point de serrage|vissage|programme no|union|junta|punto de apriete|programa|aplicacion|giunto|giunzione|punto di serraggio|programma|verbinding|boutverbinding|schroefverbinding|programma nr|forband|skruvforband|atdragningspunkt|polaczenie|punkt dokrecania|junta aparafusada|ponto de aperto|接头|螺栓位置|程序|締結部|締付箇所|ジョイント|プログラム|체결부|작업',
  'own-result':
    'result|status|ok nok|ok/nok|nok/ok|ok|pass fail|pass/fail|p/f|verdict|judgement|judgment|evaluation|assessment|in tolerance|accept|ergebnis|resultat|bewertung|beurteilung|io nio|io/nio|i.o./n.i.o.|i.o.|urteil|statut|etat|jugement|resultado|estado|evaluacion|esito|risultato|stato|giudizio|resultaat|oordeel|beoordeling|bedomning|utfall|wynik|ocena|avaliacao|conforme|结果|判定|状态|判定結果|結果|결과|판정',
  sequence:
    'no|nr|n|num|number|#|id|index|idx|count|counter|seq|sequence|sequence no|sequence number|record|record no|record id|record number|reading|reading no|rec|line|line no|row|row no|item|memory no|data no|entry|tightening id|cycle|cycle no|cycle number|lfd nr|lfd|lfd. nr|laufende nummer|satz|satz nr|datensatz|nummer|zahler|messung nr|numero|n o|enregistrement|no enregistrement|mesure|n registro|registro|progressivo|n progressivo|num progressivo|volgnummer|volgnr|regel|lopnummer|lopnr|liczba porzadkowa|lp|lp.|numer|pozycja|n ordem|ordem|sequencia|序号|编号|番号|連番|번호|순번',
  'batch-position':
    'batch position|position in batch|batch count|batch counter|bolt no|bolt number|bolt|screw no|screw number|fastener no|batch no of|count in batch|tightening no|pull|position|pos|schraube nr|schraubennummer|schraube|losposition|position im los|chargenposition|vis no|numero de vis|posicion lote|tornillo|n tornillo|posizione lotto|vite|vite n|boutnummer|bout nr|bout|skruv|skruvnummer|skruv nr|sruba|nr sruby|parafuso|n parafuso|螺栓号|螺丝号|ボルト番号|볼트번호',
  'batch-size':
    'batch size|batch total|batch target|lot size|bolts in batch|quantity|qty|of|total bolts|number of bolts|losgrosse|chargengrosse|anzahl schrauben|taille du lot|taille lot|tamano de lote|tamano lote|dimensione lotto|batchgrootte|partijgrootte|satsstorlek|batchstorlek|wielkosc partii|tamanho do lote|批量|バッチサイズ|배치크기',
  target:
    'target|target torque|torque target|nominal|nominal torque|set torque|setpoint|set point|set value|preset|required torque|reference torque|soll|sollwert|sollmoment|soll drehmoment|drehmoment soll|moment soll|nennwert|nennmoment|cible|couple cible|consigne|valeur de consigne|couple nominal|objetivo|par objetivo|par nominal|consigna|valor nominal|nominale|coppia nominale|coppia target|obiettivo|streefwaarde|doelwaarde|doelmoment|gewenst moment|nominaal|borvarde|malvarde|bormoment|malmoment|wartosc zadana|moment zadany|moment nominalny|cel|alvo|torque alvo|binario nominal|目标扭矩|目标值|目標トルク|目標値|설정값|목표토크',
  'low-limit':
    'low|low limit|lower limit|lower|min|minimum|min torque|minimum torque|torque min|torque low limit|lo limit|lsl|ltl|lower tolerance|untere grenze|untergrenze|ugw|min moment|moment min|drehmoment min|minimalmoment|untere toleranz|limite inferieure|limite basse|couple min|minimo|limite inferior|par min|par minimo|limite inferiore|coppia min|ondergrens|onderlimiet|min koppel|undre grans|nedre grans|dolna granica|granica dolna|torque minimo|下限|下限扭矩|下限値|하한',
  'high-limit':
    'high|high limit|upper limit|upper|max|maximum|max torque|maximum torque|torque max|torque high limit|hi limit|usl|utl|upper tolerance|obere grenze|obergrenze|ogw|max moment|moment max|drehmoment max|maximalmoment|obere toleranz|limite superieure|limite haute|couple max|maximo|limite superior|par max|par maximo|limite superiore|coppia max|bovengrens|bovenlimiet|max koppel|ovre grans|gorna granica|granica gorna|torque maximo|上限|上限扭矩|上限値|상한',
  fastener:
    'fastener|fastener id|fastener no id|bolt id|screw id|tightening identity|part|part id|part no|part number|part serial|product id|product serial|product serial number|vin|vehicle|vehicle id|unit serial|barcode|bar code|workpiece|frame no|frame number|schrauben id|bauteil|teilenummer|teil nr|fahrzeug|fahrgestellnummer|rahmennummer|barcode nr|identifiant vis|code barre|code a barres|piece|id tornillo|codigo de barras|pieza|id vite|codice a barre|pezzo|bout id|onderdeel|streepjescode|chassisnummer|skruv id|streckkod|artikelnummer|id sruby|kod kreskowy|czesc|id parafuso|codigo barras|peca|条码|螺栓编号|バーコード|部品番号|바코드',
  station:
    'station|station id|station no|station name|workstation|work station|work place|workplace|cell|line name|arbeitsplatz|arbeitsstation|bandabschnitt|poste|poste de travail|puesto|puesto de trabajo|estacion|stazione|postazione|werkplek|werkstation|arbetsplats|stationsnamn|stanowisko|stacja|posto|posto de trabalho|estacao|工位|工站|ステーション|工程|스테이션',
  note: 'note|notes|comment|comments|remark|remarks|memo|text|bemerkung|bemerkungen|kommentar|notiz|hinweis|remarque|commentaire|observacion|observaciones|nota|comentario|osservazioni|commento|annotazione|opmerking|opmerkingen|notitie|anmarkning|anteckning|uwagi|uwaga|komentarz|observacao|备注|注释|備考|メモ|비고|메모',
  ignore:
    'battery|battery level|battery voltage|batterie|akku|temp|temperature|temperatur|temperatuur|firmware|version|checksum|crc|duration|cycle time|speed|rpm|drehzahl|vitesse|mode|torque unit id|seconds|ms|error|error code|fehler|fehlercode|prevailing torque|prevailing angle|torque deviation|deviation|abweichung|angle min|angle max|min angle|max angle|angle low limit|angle high limit|winkel min|winkel max|angle target|target angle|winkel soll|sollwinkel|threshold|snug|snug torque|fugemoment|schwellmoment|direction|richtung|sens|language',
  value:
    'value|val|measured value|measurement|measured|reading value|actual|actual value|act|wert|messwert|ist|istwert|ist wert|messung|valeur|valeur mesuree|mesure valeur|valor|valor medido|medida|lectura|valore|valore misurato|misura|lettura|waarde|meetwaarde|meting|varde|matvarde|matning|wartosc|pomiar|wartosc zmierzona|valor lido|leitura|medicao|数值|测量值|測定値|値|값|측정값',
  batch:
    'batch|batch id|batch no|batch number|batch name|lot|lot no|lot number|lot id|order|order no|order number|work order|los|los nr|losnummer|charge|chargennummer|auftrag|auftragsnummer|ordre|no de lot|numero de lot|numero lot|commande|lote|n lote|numero de lote|orden|pedido|lotto|n lotto|numero lotto|ordine|commessa|partij|partijnummer|ordernummer|sats|satsnummer|batchnummer|partia|nr partii|numer partii|zlecenie|nr zlecenia|ordem de producao|批号|批次|ロット|ロット番号|バッチ|로트',
};

const exact = new Map<string, { role: HeaderRole; word: string }>();
for (const [role, list] of Object.entries(words) as [HeaderRole, string][]) {
  for (const word of list.split('|')) {
    const key = plainWords(word);
    if (!exact.has(key)) exact.set(key, { role, word });
  }
}
/** Short or everyday words that other columns carry too. */
const weak = new Set([
  'no',
  'nr',
  'n',
  'id',
  'num',
  'number',
  'of',
  'md',
  'ma',
  'par',
  'low',
  'high',
  'min',
  'max',
  'pos',
  'position',
  'deg',
  'text',
  'ok',
  'when',
  'count',
  'item',
  'line',
  'row',
  'line',
  'order',
  'part',
  'peak',
  'data',
  'ora',
  'tag',
  'dia',
  'part no',
  'charge',
  'cle',
  'union',
  'piece',
  'moment',
  'momento',
  'kat',
  'cel',
  'lp',
  'serial',
  'location',
  'task',
  'person',
  'unit serial',
  'pull',
  'tid',
  'tijd',
  'los',
  'ist',
  'act',
  'n o',
]);

const known = new Map<string, HeaderMeaning | null>();

/**
 * What a column name says about its column; null when it says nothing known.
 *
 * @example roleOfHeader('Drehmoment [Nm]')?.role // => 'torque'
 */
export function roleOfHeader(name: string): HeaderMeaning | null {
  const found = known.get(name);
  if (found !== undefined) return found;
  const meaning = find(name);
  if (known.size < 5000) known.set(name, meaning);
  return meaning;
}

function find(name: string): HeaderMeaning | null {
  if (name.length > 80) return null;
  const full = plainWords(withoutBrackets(name));
  const hit = exact.get(full) ?? exact.get(full.replaceAll(' ', ''));
  if (hit) return { role: hit.role, strength: weak.has(full) ? 1 : 3, word: hit.word };
  const tokens = full.split(' ').filter((token) => token !== '');
  // The longest run of words that is known; of equal ones the last, since the noun stands last in most of these tongues.
  for (let length = tokens.length - 1; length >= 1; length--) {
    for (let start = tokens.length - length; start >= 0; start--) {
      const part = tokens.slice(start, start + length).join(' ');
      const inner = exact.get(part);
      if (inner && !(length === 1 && (part.length < 3 || weak.has(part))))
        return { role: inner.role, strength: 2, word: inner.word };
    }
  }
  const cjk = /[\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af]/.test(full);
  if (cjk) {
    let best: HeaderMeaning | null = null;
    for (const [word, entry] of exact) {
      if (/[\u3040-\u9fff\uac00-\ud7af]/.test(word) && full.includes(word) && word.length > (best?.word.length ?? 0)) {
        best = { role: entry.role, strength: 2, word };
      }
    }
    return best;
  }
  return null;
}

/** Text in brackets at the end of a name, or after a slash: `Torque [Nm]`, `Torque (ft-lb)`, `Md/Nm`, `Torque in Nm`. */
export function bracketsOf(name: string): string[] {
  const parts: string[] = [];
  for (const m of name.matchAll(/[[(<{]([^\])>}]{1,24})[\])>}]/g)) if (m[1]) parts.push(m[1].trim());
  const slash = /[/,_]\s*([^\d\s/,_]{1,12})\s*$/u.exec(name);
  if (slash?.[1]) parts.push(slash[1]);
  const inWord = /\sin\s+(\S{1,12}(?:[ -]\S{1,6})?)\s*$/i.exec(name);
  if (inWord?.[1]) parts.push(inWord[1]);
  const last = /\s(\S{1,12})\s*$/.exec(name);
  if (last?.[1]) parts.push(last[1]);
  const lastTwo = /\s(\S{1,6}\s\S{1,6})\s*$/.exec(name);
  if (lastTwo?.[1]) parts.push(lastTwo[1]);
  return parts;
}

function withoutBrackets(name: string): string {
  return name.replace(/[[(<{][^\])>}]*[\])>}]/g, ' ');
}

/** Lower case, no accents, camelCase and punctuation as blanks. */
export function plainWords(text: string): string {
  return text
    .normalize('NFKC')
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .replace(/ł/g, 'l')
    .replace(/ø/g, 'o')
    .replace(/ß/g, 'ss')
    .replace(/[°º]/g, ' ')
    .normalize('NFD')
    .replace(/[\u0300-\u036f]/g, '')
    .normalize('NFC')
    .replace(/[^\p{L}\p{N}#]+/gu, ' ')
    .trim();
}

/** Words that start the last lines of an export: sums and ends, not readings. */
const footers =
  /^(?:[#*=_-]{2,}|total|totals|sum|summe|gesamt|anzahl|average|avg|mean|mittelwert|mittel|moyenne|total general|media|promedio|gemiddelde|medel|medelvarde|srednia|razem|suma|somme|totale|totaal|totalt|summa|end|ende|end of data|end of file|eof|fin|fine|einde|slut|koniec|fim|records|record count|readings|number of readings|std|stdev|std dev|standard deviation|stabw|standardabweichung|cp|cpk|cm|cmk|minimum|maximum|range|count|checksum|crc|printed|exported|export date|gedruckt|exportiert|signature|unterschrift|合计|总计|合計|平均)(?:$|[\s:;.=,#*_-])/u;

/** Whether a record's first words are those of a footer. */
export function isFooterWord(cell: string): boolean {
  const text = cell.trim();
  if (/^[#*=_-]{2,}|^#/.test(text)) return true;
  const plain = plainWords(text);
  return plain !== '' && footers.test(`${plain} `);
}
