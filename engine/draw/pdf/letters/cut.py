# Cuts the lettering of papers from two free typefaces, Liberation Sans and for Arabic letters
# Noto Sans Arabic: the letters of the languages that people write their names in, without
# hints, in two weights, as one face. It writes beside it the table of widths that drawings are
# laid out with, and the table of letters that are made of a letter and an accent. The licence
# keeps the typefaces' own names for the whole of them: what is cut from them goes by another.
#
#   python3 cut.py FOLDER-OF-LIBERATION FOLDER-OF-NOTO
import io
import sys
import unicodedata
from fontTools import subset
from fontTools.ttLib import TTFont
from fontTools.ttLib.scaleUpem import scale_upem

RANGES = """
20-7E A0-17F 18F 192 1A0-1A1 1AF-1B0 218-21B 259 2BC 300-304 306-30C 31B 323 327 328
386-38F 390-3CE
400-45F 490-493 496-49D 4A0-4A3 4AE-4B3 4BA-4BB 4D8-4D9 4E8-4E9
5BE 5D0-5EA 5F0-5F4
1E80-1E85 1E9E 1EA0-1EF9
2010-2015 2018-201E 2020-2022 2026 2030 2032-2033 2039-203A 20AA 20AC 20B4 2116 2122
215B-215E 2190-2193 2206 2211-2212 221A 2248 2260 2264-2265 25A1
"""

# Arabic, Persian, Urdu, Kurdish, Pashto, Sindhi and Uyghur.
ARABIC = """
60C 61B 61F 621-63A 640-655 660-66C 670-671 679-681 683-68A 68C-68D 68F 691 693 695-696 698-69A
6A0 6A4 6A6 6A9-6AB 6AD 6AF 6B1 6B3 6B5 6BA-6BC 6BE 6C0-6C3 6C6-6C8 6CB-6CE 6D0 6D2-6D5 6F0-6F9
"""

# A form of an Arabic letter stands in the private area: 0xE000, four for each letter from 0x600
# on: alone, at the end of a word, at its begin, within it. So do lam and alef joined, alone and
# at the end, each after what would be the forms of its alef.
FORMS, TAGS, JOINED = 0xE000, ("isol", "fina", "init", "medi"), 0xE400
# Brackets and signs that are turned round in what is read from the right, from 0xE500 on by the
# last byte of what they look like: what they stand for is the other.
TURNED, SIGNS = 0xE500, "()[]{}<>«»≤≥"
BORROWED = {0x6BA: 0x66E}  # noon ghunna at the begin and within: as beh without its dot
ALEFS = (0x622, 0x623, 0x625, 0x627)  # 0xFEF5 and on, alone and at the end


def runes(ranges):
    for part in ranges.split():
        low, _, high = part.partition("-")
        yield from range(int(low, 16), int(high or low, 16) + 1)


def cutter(glyphs=(), unicodes=()):
    options = subset.Options()
    options.hinting = False
    options.layout_features = []
    options.drop_tables += ["GDEF", "GPOS", "GSUB", "FFTM", "gasp", "DSIG", "kern", "meta"]
    options.name_IDs = []
    options.glyph_names = False
    options.notdef_outline = True
    options.recalc_timestamp = False
    made = subset.Subsetter(options)
    made.populate(glyphs=glyphs, unicodes=unicodes)
    return made


def substituted(font):
    """What each feature puts in place of a single glyph."""
    table, found = font["GSUB"].table, {tag: {} for tag in TAGS}
    for record in table.FeatureList.FeatureRecord:
        for index in record.Feature.LookupListIndex if record.FeatureTag in found else ():
            for part in table.LookupList.Lookup[index].SubTable:
                part = getattr(part, "ExtSubTable", part)
                if part.LookupType == 1:
                    found[record.FeatureTag].update(part.mapping)
    return found


def arabic(path, unit):
    """The forms of Arabic letters, and which glyph stands for each code."""
    font = TTFont(path, recalcTimestamp=False)
    cmap, features, glyphs, right = font.getBestCmap(), substituted(font), {}, font["name"].getDebugName(0)
    for rune in runes(ARABIC):
        plain = cmap[rune]
        glyphs[rune] = plain
        for k, tag in enumerate(TAGS if unicodedata.category(chr(rune)) != "Mn" else ()):
            form = features[tag].get(plain) or features[tag].get(cmap.get(BORROWED.get(rune)))
            if rune == 0x640:
                form = plain
            if form:
                glyphs[FORMS + (rune - 0x600) * 4 + k] = form
    for k, alef in enumerate(ALEFS):
        for form in range(2):
            glyphs[JOINED + (alef - 0x620) * 2 + form] = cmap[0xFEF5 + 2 * k + form]
    cutter(glyphs=set(glyphs.values())).subset(font)
    scale_upem(font, unit)
    return font, glyphs, right


def take(font, more, glyphs):
    """Puts the glyphs of another typeface into a font."""
    fresh = {name: "other." + name for name in more.getGlyphOrder() if name != ".notdef"}
    for name, new in fresh.items():
        glyph = more["glyf"][name]
        for part in glyph.components if glyph.isComposite() else ():
            part.glyphName = fresh[part.glyphName]
        font["glyf"][new] = glyph
        font["hmtx"][new] = more["hmtx"][name]
    for table in font["cmap"].tables:
        table.cmap.update({rune: fresh[name] for rune, name in glyphs.items()})


def cut(folder, other, style):
    font = TTFont("%s/LiberationSans-%s.ttf" % (folder, style), recalcTimestamp=False)
    more, glyphs, right = arabic("%s/NotoSansArabic-%s.ttf" % (other, style), font["head"].unitsPerEm)
    kept = [(n, font["name"].getDebugName(n)) for n in (0, 13, 14)]  # copyright and licence
    kept[0] = (0, kept[0][1] + "; " + right)
    cutter(unicodes=runes(RANGES)).subset(font)
    take(font, more, glyphs)
    for sign in SIGNS:
        drawn = font.getBestCmap()[ord(sign)]
        font["glyf"]["turned." + drawn] = font["glyf"][drawn]
        font["hmtx"]["turned." + drawn] = font["hmtx"][drawn]
        for table in font["cmap"].tables:
            table.cmap[TURNED + ord(sign) % 256] = "turned." + drawn
    font["cmap"].tables = [t for t in font["cmap"].tables if (t.platformID, t.platEncID) == (3, 1)]
    font["name"].names = []
    for number, name in kept + [(1, "Pegpour"), (2, style), (6, "Pegpour-" + style)]:
        font["name"].setName(name, number, 3, 1, 0x409)
    buffer = io.BytesIO()
    font.save(buffer)
    with open(style.lower() + ".ttf", "wb") as out:
        out.write(buffer.getvalue())
    return font


def widths(font):
    """Writes the widths of letters beyond Latin-1, in runs of letters that follow each other; of
    an Arabic letter that of its widest form."""
    cmap, metrics = font.getBestCmap(), font["hmtx"]
    unit = font["head"].unitsPerEm
    runs = []
    for rune in sorted(cmap):
        if not 0x100 <= rune < 0x2000:
            continue  # signs are measured by hand
        if not runs or runs[-1][0] + len(runs[-1][1]) != rune:
            runs.append((rune, []))
        forms = [rune] + [FORMS + (rune - 0x600) * 4 + k for k in range(4) if 0x600 <= rune < 0x700]
        runs[-1][1].append(max(int(metrics[cmap[form]][0] * 1000 / unit + 0.5) for form in forms if form in cmap))
    lines = ["// Code generated by draw/pdf/letters/cut.py; DO NOT EDIT.", "", "package draw", "",
             "// widthLetters are runs of letters that follow each other: the first, how many, and their",
             "// widths in thousandths of the font size.", "var widthLetters = [...]uint16{"]
    for first, run in runs:
        lines.append("\t0x%x, %d," % (first, len(run)))
        for k in range(0, len(run), 20):
            lines.append("\t" + " ".join("%d," % w for w in run[k:k + 20]))
    lines.append("}")
    with open("../../widthletters.go", "w") as out:
        out.write("\n".join(lines) + "\n")


def composed(font):
    """Writes which letters of the face are a letter and a mark, by Unicode's canonical
    decompositions."""
    cmap, rows = font.getBestCmap(), []
    for rune in sorted(cmap):
        parts = unicodedata.decomposition(chr(rune)).split()
        if len(parts) == 2 and "<" not in parts[0] and rune < FORMS:
            rows.append("%c%c%c" % (int(parts[0], 16), int(parts[1], 16), rune))
    lines = ["// Code generated by draw/pdf/letters/cut.py; DO NOT EDIT.", "", "package pdf", "",
             "// compositions are the letters of the face that are made of two: letter, mark, what they make.",
             "// By the canonical decompositions of the Unicode Character Database, version %s." %
             unicodedata.unidata_version,
             'const compositions = "" +']
    for k in range(0, len(rows), 12):
        text = "".join("\\u%04x" % ord(c) for c in "".join(rows[k:k + 6]))
        more = "".join("\\u%04x" % ord(c) for c in "".join(rows[k + 6:k + 12]))
        lines += ['\t"%s" +' % t for t in (text, more) if t]
    lines[-1] = lines[-1][:-2]
    with open("../compositions.go", "w") as out:
        out.write("\n".join(lines) + "\n")


regular = cut(sys.argv[1], sys.argv[2], "Regular")
widths(regular)
composed(regular)
cut(sys.argv[1], sys.argv[2], "Bold")
