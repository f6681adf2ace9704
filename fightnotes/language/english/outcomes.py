"""How it came out."""

from __future__ import annotations

import re

from fightnotes.language.english.acting import OFFICIALS
from fightnotes.language.english.forms import words
from fightnotes.language.english.parts_played import PUNCHES

_HE = r"(?:(?-i:[A-Z][\w-]{1,40}|[A-Z]\b\.?)|he|she|who|they)"
"""One who is named, or a pronoun."""
_NAMED = (
    rf"(?!(?:{PUNCHES.pattern}|hands?|gloves?|guard|arms?|head|chin|eyes?|shoulders?|level"
    r"|(?:look|walk|march|bear|duck|dip|bend|crouch|slow|settle|calm|come|back|bring|push|press|pull|stay|go)(?:e?s"
    r"|e?d|ing)?|still|stood|went|all|not|up|too|very|left|right|lead|rear|straight|high)\b)"
    r"(?-i:[A-Z][\w-]{1,40}|[A-Z]\b\.?)"
)
"""One who is named without a verb, and no part of the body, blow or step with a capital, as in "Hands down"."""
_HIM = r"(?:him|her|(?-i:[A-Z][\w-]{1,40}))"
_GUARD = r"(?:gloves?|leather|fore-?arms?|elbows?|arms?|guard|gd|shoulders?|shldr|palm|shin)"
_HIS = r"(?:the|his|her|their|both|a|an|\w+['’]s)(?: (?:lead|rear|raised|left|right|front|closed|high|crossed))?"
_NOT = r"(?:doesn['’]?t|does not|didn['’]?t|did not|won['’]?t|refuses to|will not)(?: even| so much as)?"
_ENDS = r"(?=[.,;!]|$)"
_SPOT = r"(?:chin|nose|beak|ear|jaw|cheek|cheek-?bone|temple|liver|mouth|lips?|brow|eye|eyebrow|forehead|teeth|ribs?)"
_PLACE = (
    rf"(?:{_SPOT}|face|head|body|belly|stomach|gut|chest|sternum|side|short ribs|solar plexus|midsection|thigh|calf"
    r"|leg)"
)
_SHOT = rf"(?:{PUNCHES.pattern}|left|right)"
_OF_A_BODY = (
    r" (?:in (?:\w+ ){0,2}(?:guard|control|mount)|on (?:top|(?:his|her|both|one) (?:feet|foot|back|knees?|side|own"
    r"|seat|hands|toes))|on the (?:mat|floor|canvas|deck)|awkwardly|badly|outside|inside)\b"
)
"""Behind a word for landing that tells of one who lands, and of no blow."""
_COUNTED = "(?:one|two|three|four|five|half|some|[1-9])"
OUTCOMES: dict[str, tuple[str, ...]] = {
    "stoppage": (
        "wav(?:es|ed) (?:it |him |her |them )?off", "stoppage", "t?ko(?:['’]?d)?", "rsc", "called off", "full count",
        f"(?:{OFFICIALS}|he|she)(?:['’]s)? (?:has )?stop(?:s|ped) (?:it|the (?:fight|bout|contest))", "counted out",
        f"{OFFICIALS} (?:has )?stop(?:s|ped) (?:him|her)", "(?:fight|bout|contest) (?:is |was )?(?:stopped|halted)",
        "towel (?:comes |goes )?in", "throws? in the towel", "taps? out", "tapped out", r"tap (?=\d)",
        "(?:doc|doctor) (?:stops|stopped|waves)", "submit(?:s|ted)", "rnc",
        "(?:raises|raised) the (?:winner|injured man)['’]?s? (?:hand|arm)", "pulls? (?:him|her) out",
        "retire(?:s|d)",
        rf"{OFFICIALS} (?:waves?|waved|dives|dived|jumps|jumped|leaps|has seen enough)\b(?! (?:on|at)\b)",
        f"(?:it['’]?s |that['’]?s |it is )(?:all )?over{_ENDS}", f"(?-i:OVER){_ENDS}", "out cold",
        "out for the count",
        f"{OFFICIALS} (?:does not|doesn['’]?t|did not|didn['’]?t) (?:trouble|bother|need) to count",
        "no need to count", r"end(?:s|ed) (?:the|his|her|\w+['’]s)(?: \w+['’]s)? (?:fight|bout|contest|evening|night)",
        "sleeps (?:him|her)",
    ),
    "knockdown": (
        "knock(?:ed|s)? ?down", "kd", "floor(?:ed|s)", "felled", "(?:on|to) the (?:canvas|deck|floor|boards)",
        "(?:takes?|took|taken) a knee", "hits the (?:deck|floor|mat|canvas)", "down (?:he|she) goes", "down hard",
        rf"drop(?:s|ped) {_HIM}(?:{_ENDS}|(?= (?:with|to|for)\b))", "(?:is|was|gets) dropped", "dropped by",
        f"{_HE} sits? down", "sat (?:him |her )down", "puts? (?:him|her) down", "(?:he|she)['’]s (?:gone )?down",
        rf"{_HE} (?:is|goes|went|has gone) down(?! (?:the|to|with|a)\b)", "on (?:his|her) (?:back|seat)",
        "on all fours", "off (?:his|her) feet", "face ?plants?", "pitche[sd] forward", "and sits down",
        r"(?:^|(?<=[.,;!] ))down again",
        r"(?<!gets )(?<!got )(?<!['’]s )(?<!is )up at (?:\d|one|two|three|four|five|six|seven|eight|nine)",
        r"(?:count|cnt) of (?:\d|eight|nine)", "decked", "knee touche[sd]", r"toppl(?:es|ed)", r"crumpl(?:es|ed)",
        "collaps(?:es|ed)", "kneels?", "knelt", "sank to (?:one|a|his|her) knees?", "face first",
        "dumped (?:him|her)", "went over with a crash", "goes down from", "sat down by", "touche[sd] down",
        rf"{_NAMED} down{_ENDS}",
    ),
    "hurt": (
        "hurts?(?! (?:less|more|(?:his |her |the |own )?hand))", "buzz(?:ed|es)", r"wobbl\w+", r"stagger\w*",
        "rock(?:ed|s) (?:him|her)", "rocked", r"shaken(?! off)", r"stunn\w+", "dead leg", "legs say otherwise",
        "legs? (?:is|are) (?:gone|heavy)", "winces?", "grunts?",
        r"legs? (?:go|goes|went|dip|buckle|stiffen|gone)\w*", "legs are not", "legs have gone",
        r"knees? (?:buckle|dip|give)\w*", "holding (?:his|her) side", "doubled? (?:him|her )?over",
        "shakes? (?:him|her) up", "shook (?:him|her)", "(?:stung|stings) (?:him|her)", "rattled", r"lurch\w*",
        "dazed", "glazed", "winded", "folds? (?:him|her)", r"limp(?:s|ing|ed)", r"hobbl\w+", "all over the place",
        "in (?:real |big |bad )?trouble", "(?:takes|took|knocks|knocked) the (?:wind|breath|legs)",
        "bent (?:over|double)", r"exhales? (?:hard|loud)\w*", "on unsteady legs", "(?:rubber|jelly|spaghetti) legs",
        r"totter\w*", r"reel(?:s|ed|ing)", "sagg?(?:s|ed)", "creased", "folded(?: up)?", "concussed",
        f"jarr(?:s|ed) {_HIM}", "legs have gone", "balance gone", "doubles? over", "queer street",
        "(?:they|legs) (?:go|went|are) stiff",
    ),
    "blocked": (
        "block(?:s|ed)", "bl(?:oc)?k(?:['’]?d|ed)", "blk by", "parried",
        "pick(?:s|ed) (?:it |them |that |every one )?off",
        "smothered", f"caught{_ENDS}",
        "(?:lands?|landed|caught|taken|takes?|took|dies|ends|is|all|most|it|one"
        f"|them)(?: it)? on(?: ?to)? (?:{_HIS} )?{_GUARD}",
        "checked", f"most of it on (?:{_HIS} )?{_GUARD}",
        "(?:brushed|patted|swatted|knocked|turned|pawed|slapped|swats?|turns (?:it|them|that)) (?:it |them "
        "|every one )?(?:aside|away)",
        f"{_GUARD} takes? (?:it|them|both)", "on(?:to)? (?:the )?(?:gloves|leather|elbows|forearms)",
        r"(?:(?<=[,;] )|(?<=both )|(?<=all )|(?<=it )|(?<=them )|(?<=hook )|(?<=jab )|(?<=high )|(?<=2nd )"
        r"|(?<=1st ))on(?: ?to)? "
        rf"(?:{_HIS} )?(?:gloves?|elbows?|fore-?arms?|shin|guard)",
        "nothing but (?:gloves?|arms?|elbows?|leather)", "(?:all|only) (?:gloves?|arms?|elbows?|leather)",
        f"into {_HIS} guard", f"{_GUARD} only", f"(?:rolls?|rolled|off|slid|slides?|bounces?) off {_HIS} {_GUARD}",
        r"roll(?:s|ed) off \w+", f"(?:got |gets )?as far as (?:{_HIS} )?{_GUARD}",
        f"{_GUARD} (?:(?:was|were|is|are) )?(?:there|in the way|home)", f"met by {_HIS} {_GUARD}",
        f"(?:strikes?|struck|hits?|finds?|found) (?:only )?{_HIS} {_GUARD}",
        "(?:nothing|none) (?:of it )?(?:gets|got|getting) (?:through|in)", "nothing (?:is )?getting through",
        "turn(?:s|ed) aside", "deflect(?:s|ed)",
        rf"(?:thump|bounce|rain|beat|land)(?:s|ing)?(?: \w+)? (?:off|on) (?:his|her) {_GUARD}", "i say glove",
        "deflections?", r"jammed", r"smother(?:s|ed)", "absorbed on",
        "(?:hits|hit|met|meets|strikes|struck|smacks into|ended on"
        f"|stopped by) (?:{_HIS} )?(?:point of the )?(?:{_GUARD}|bent arm)",
        f"{_GUARD} (?:caught|stopped|stops|catches) (?:it|the)",
        f"took it on (?:{_HIS} )?(?:biceps|elbow|fore-?arm|arms?)",
        r"(?:brush|tap|knock|swat|push|slap)(?:es|s|ped|ed) (?:it|that|the \w+|\w+ \w+) (?:aside|away|off)",
        "no score", "0 thru",
    ),
    "missed": (
        r"miss(?:es|ed)?(?! a\b)", "msd", rf"(?<=[,;–-] )air{_ENDS}",
        "(?:into|hits|hitting|finds|punches|jabs|kicks|swings at|catches|mostly|but|only) (?:only )?(?:the |thin "
        "|fresh |empty )?air",
        r"whiff\w*", r"(?:falls?|fell|comes?|came|is|well|way|too|a foot|an inch|inches|just)(?: \w+){0,2} short",
        "short by", rf"(?<!little )(?<!thrown )(?<!works )short{_ENDS}",
        "(?:hits|meets?|finds|touches) (?:nothing|nobody|no ?one)",
        r"(?:sail|flies|fly|flew|pass|whistle)(?:s|ed|es)? (?:harmlessly )?(?:over(?! the top\b)|past|wide|by)\b",
        "goes wide", "(?:no|without) contact", "into (?:nothing|space)", "wide of", f"goes over{_ENDS}",
        "by a (?:mile|foot|yard|long way|distance)",
        r"(?:a foot|a yard|an inch|inches|half a foot|(?:two|six|ten) inches) (?:off|wide|from|away|short)",
        rf"(?<!['’]s )(?<!is )(?<!was )nowhere near{_ENDS}",
        rf"(?:slipped|ducked|dodged|evaded|sidestepped)(?:{_ENDS}|(?= (?:at|easily|all|under|by)\b))",
        rf"nobody (?:there|(?:is |['’]s )?(?:at )?home)(?:{_ENDS}|(?= now\b))", "too far away", "nothing there",
        "out of (?:range|reach)", "third row", r"watch(?:es|ed|ing)? (?:it |\w+ )?go(?:es)? by", "not even close",
        "long gone", "(?:hole|fresh air) in the atmosphere", r"inches? short", "no landing", "beyond reach",
        "catch(?:es)? nothing", "0 contact",
        "(?:swing|punch|grab|hit|throw)(?:s|es|ing)? (?:at|into) (?:nothing|shadows|nobody)", "goes nowhere",
        "(?:nothing|none|neither|not one)(?: one| of (?:it|them|those))? (?:lands?|landed|lnds?|connects?|connected)",
    ),
    "partial": (
        r"graz\w+", r"glanc\w+", "half[- ](?:lands?|blocked|blkd)", "partly", "partial(?:ly)?", "ptl", "shav(?:es|ed)",
        "little on it", "a little short",
        f"brush(?:es|ed)? (?:{_HIM}|(?:the|his|her) (?:chin|cheek|ear|nose|ribs?|hair|face))",
        f"(?:slides?|slid|skids?|skidded) off(?! (?:{_HIS} )?{_GUARD})",
        f"{_GUARD} (?:takes?|took) (?:most|the worst)", "top of the head",
        f"a piece of {_HIM}", "a piece of it", "not all of it", "touch only", "half lands", r"skim\w*",
        r"scrap(?:es|ed)",
        rf"{_COUNTED} (?:out )?of (?:[1-9]\d?|three|four|five|six|ten|which|them) ?(?:in|lands?|landed|gets?|got"
        r"|mebbe|maybe)?",
        r"only (?:the|one) (?:\w+ )?(?:gets?|got|lands?|landed)",
        "(?:some|most|half) (?:of it |of them )?(?:gets?|got|lands?) through", r"(?:i )?counted (?:one|two|three)",
        "(?:just|barely) (?:about )?touches", "one of which is not",
        "(?:moved|parted|ruffle[sd]) (?:his|her|the)? ?hair", "hair moved",
    ),
    "landed": (
        f"(?<!to )land(?:s|ed)?(?! on(?:to)? (?:{_HIS} )?{_GUARD})(?!{_OF_A_BODY})", "lnds?",
        "connects?", "(?<!had )connected",
        "flush", "gets? home", "got home", "split(?:s|ting)? the guard", "(?<!be )hits (?:him|her)",
        r"clean(?:ly)?(?! (?:break|up\b(?! top)))", "on the money",
        rf"(?<!work )(?<!works )(?<!working )(?:on|onto|on to|against) (?:the|his|her|\w+['’]s) (?:button|{_SPOT})",
        "thud(?:s|ded|ding)? (?:in|on|against)(?:to)?",
        "(?:is|was|gets|got|and|being) (?:hit|hooked|jabbed|tagged|kicked|struck|clipped|nailed|punished|cracked"
        "|countered)",
        r"(?:is|was|gets|got) caught(?! (?:on|under) (?:the |his |her )?(?:gloves?|elbow|arms?|fore))",
        "snaps (?:his|her|the) head", "unobstructed",
        rf"(?:finds?|found) (?:the |his |her |\w+['’]s )?(?:target|mark|{_PLACE})",
        f"(?:tags?|tagged|cracks|cracked|nails|nailed|drills|drilled|smacks|smacked|clips|clipped) {_HIM}",
        "cracked (?:on|coming|by)", rf"(?:eats?|ate|swallows?|wears?) (?:it|(?:\w+ ){{0,3}}?{_SHOT})",
        r"(?<!shoulder )(?<!glove )(?<!gloves )(?<!elbow )(?<!arm )(?<!shin )(?<!to )(?:takes?|took|gets?|got"
        r"|catches) (?!the (?:left|right) foot)(?:(?!on\b|by\b|with\b|of\b|his\b|her\b)\w+ )"
        f"{{1,3}}?{_SHOT}(?! (?:on (?:{_HIS} )?{_GUARD}|off|foot|home|there|in|by|hook|eye|hand))",
        rf"(?:takes?|took|taken)(?: \w+){{0,2}}? (?:on|to|in) (?:the |his |her )?{_PLACE}",
        r"(?:walk|run|step|march|ran|sail)(?:s|ed|ing)? (?:straight |right )?(?:on|in) ?to (?:it|one)\b",
        rf"(?:walk|run|step|march|ran)(?:s|ed|ing)? (?:straight |right )?(?:on|in) ?to (?:a|the) (?:\w+ )?{_SHOT}",
        "(?:dig|rip|drive|sink|slam|whack|thump|bang|smash|crash|pop|stick|stuck|bur(?:y|ie)|stab|dug|drove)(?:s"
        "|es|ped|ped|ed)? "
        rf"(?:\w+ ){{0,4}}?(?:into|on|onto|under|against|across|to) (?:the |his |her )?{_PLACE}",
        rf"(?:goes|went|put|puts|straight) (?:straight |right |deep )?into (?:the |his |her |\w+['’]s )?{_PLACE}",
        r"meets? (?:his|her|the|\w+['’]s) (?:face|chin|nose|jaw)", "there to meet (?:his|her)",
        "(?:kick|hit|jab|hook|punche|strike|struck|knee|elbow)(?:s|ed)? (?:him|her) (?:hard |clean |flush |twice "
        "|again )?(?:on|in|to|across|behind|over)",
        "moves (?:him|her) back", "felt (?:it|that|in)",
        "(?:gets?|got|goes|comes?) (?:straight |right |clean |all the way )?(?:through|in clean)",
        rf"(?:jab|one|right|left|hook|second|2nd) in{_ENDS}", r"stuck (?:him|her|one)",
        "opens? (?:up )?(?:the|a) cut", r"redden\w*", "head (?:snaps|goes|jolts|rocks|flies) back",
        f"head back{_ENDS}", "struck (?:twice|again|home|in|on)", "cuffed",
        "right (?:hand )?on the (?:beak|button|money|chin|nose)", "introduces itself", "scores", "tells",
        "a good one", "strikes? home", "struck home", "arrive(?:s|d) on", "punished", "stings? (?:him|her)",
        "perfect connection", f"caught {_HIM} (?:coming|with|on|flush|clean|cold)", "hit (?:him|her|that)",
        "smacks? into", "thump(?:ed|s)", "(?:was|is|were|are) felt", f"bang{_ENDS}", "never sees?", "never saw",
        "didn['’]?t see it",
        rf"(?:{_SHOT}|hand|one|it|that) (?:goes|went|gets|got|sneaks|slips|slides) in\b"
        r"(?! (?:to|on|between|behind|close|with|for)\b)",
        rf"(?:{_SHOT}|hand|one|it|that) (?:gets|got) there", "(?:hits?|on) target",
        rf"{_SHOT} (?:meets|met|catches|caught|finds|found) (?:him|her)\b", "sat (?:him|her) back",
    ),
    "ignored": (
        r"ignor\w+", f"{_NOT} (?:bite|react|buy|flinch|blink|bother|move|respond|answer|fall for"
        f"|follow(?: (?:him|her))?{_ENDS})",
        f"not following(?: (?:him|her))?{_ENDS}",
        f"{_NOT} take (?:it|the (?:bait|offer|invitation))", "no bite", "(?:isn['’]?t|is not) having (?:it|any)",
        r"(?<!has )(?<!have )(?<!had )no (?:reply|takers?|customers?|reaction|answer|response|sale)",
        r"refus(?:es|ed)(?! to be)", r"declin(?:es|ed)(?! to be)", "stays? (?:put|home|tall)", "unmoved",
        "leaves? (?:it|the door) alone", "just looks", "gets nothing", "not buying", "not biting", "unimpressed",
        "nobody (?:bites|comes|reacts)", "stop(?:s|ped) short of it", f"walks? on{_ENDS}", "not fooled",
        "pays? no (?:attention|heed|mind)", "not having (?:it|any)", "unbothered",
    ),
    "worked": (
        "worked(?! it)", r"flinch\w*", "gets? the (?:flinch|reaction|lead)", "falls? for", "fell for",
        "into the ropes", "(?:takes?|took|accepts?|accepted|obeys) the (?:bait|offer|invitation)",
        r"buys (?:it|time|\w+ seconds)", "bought it", "bites", "bit on it", f"accepts?{_ENDS}", f"accepted{_ENDS}",
        "can['’]?t resist", "taken down", "swept", "back on (?:his|her) feet", "got away", "spins off", "wins it",
        "can['’]?t find (?:him|her)", "escapes", "draws the (?:parry|counter|lead|guard|reply)", "jumps at",
        "walks? (?:straight )?into (?:it|the trap)",
        "(?:makes|made) (?:him|her) (?:bite|swat|flinch|miss|reach|jump)", "runs? out of (?:floor|room|ring)",
        "(?:elbows|hands|gloves|guard)(?: they)? (?:drop|fly down)",
    ),
    "failed": (
        "fail(?:s|ed)?(?! to)", "stuff(?:s|ed)", "shrugg?(?:s|ed) (?:it|him|her) off", "comes to nothing",
        f"{_NOT} work", r"backfir\w+", "no good", "hop(?:s|ped) out", "couldn['’]?t finish", "nothing comes? of",
        "to no avail", "without success", "defended", "sprawl(?:s|ed)",
    ),
    "warning": (
        "warn(?:s|ed|ing)", "told off", "cautions?", "cautioned", "ticked off", "talking[- ]to", r"lectur\w+",
        "wags? a finger", "finger wag", "(?:been|was|is) spoken to", "reprimand(?:ed)?", r"admonish\w+",
        "stern word", f"(?:a |quiet |stern )?words? (?:from|with) the {OFFICIALS}",
        f"{OFFICIALS} (?:shouts|barks|has a word)", "told to", r"told about (?:it|\w+ing)",
        r"(?:ref|referee)\W+no \w+ing", r"no (?:pushing|holding|hitting|talking)",
    ),
    "foul": (
        "fouls?", "fouled", "low blow", r"head-?butt\w*", "butts", "(?:below|beneath) (?:the )?belt",
        "takes? a point", "points? (?:taken|deducted|off)", r"deduct\w+", "rabbit punch(?:es)?", "clash of heads",
        "illegal", "eye poke", "that['’]s low", "(?<=[.;!] )low(?=!)|^low(?=!)",
        f"(?:a (?:trifle|touch|bit|little) |strays? |is |was )low{_ENDS}", "groin", "rules forbid",
        rf"{_NAMED} low(?=[.!]|$|, (?:ref|referee|warned|told|time|point))",
        "against the rules", "time called", r"disq\w*", r"\bdq\b", "in the cup", "cup shot", "head clash",
    ),
}  # fmt: skip
"""By outcome, what says it."""
DEFENCES = re.compile(
    r"\b(?:slip|duck|dip|lean|sway|roll|parr(?:y|ie)|pull(?:s|ed) back|sidestep|step(?:s|ped) (?:out|off|back)|weav"
    r"|evad|dodg"
    r"|feint|fake|bait|draws|twitch|sprawl|check)\w*",
    re.IGNORECASE,
)
"""Beginnings of words for a second act beside a blow, which may have an outcome of its own."""
FAINT = re.compile(
    r"grunts?|winces?|exhales?.*|flinch\w*|clean|(?:elbows|hands).*|scores|never.*|told to|time called|.*\bin"
    r"|.*felt.*|head .*"
    r"|(?:takes?|took|taken|gets?|got|catches|finds?|found|goes|went|puts?|straight|walk|run|step|march|eats?"
    r"|ate)\w*\b.+",
    re.IGNORECASE,
)
"""Words that tell of an outcome less surely than others."""
CAUGHT_BY_HIM = re.compile(
    r"\b(?:catch|catches|caught|takes?|took|pats?|picks|picked|smothers|smothered|turns|brushes|knocks|swats)\b"
    r"(?! (?:on|by|with)\b)",
    re.IGNORECASE,
)
"""In the clause of one who deals with a blow himself; what he sends back has an outcome of its own."""
PRAISED_COUNTER = re.compile(
    r"\bcounter(?:s|ed)?\b(?: \w+){0,7}?,? (?:beautiful(?:ly)?|lovely|nice(?:ly)?|gorgeous"
    r"|perfect(?:ly)?|great|brilliant|superb|sweet)\b",
    re.IGNORECASE,
)
"""A counter of which a speaker says that it is good has landed."""
ASKED = re.compile(r"\s?\?")
"""Behind a word that is no outcome, but a question."""
SEEMED = re.compile(
    r"\b(?:(?:might|may|could)(?: well)? (?:be|have been)|maybe|perhaps"
    r"|look(?:s|ed) like|made (?:him|her)|seem(?:s|ed)|(?:not|n['’]t) sure (?:it|that|if)|said)(?: \w+){0,2} $",
    re.IGNORECASE,
)
"""Before a word that tells of no outcome of what is noted."""
THROWN = re.compile(
    r"\b(?:take-?downs?|taken down|double leg|single leg|body lock|trips?|tripped|sweeps?|swept|hip toss"
    r"|throws? (?:him|her)"
    r"|slip(?:s|ped)?|shov\w+|push(?:es|ed)?)\b",
    re.IGNORECASE,
)
"""Where one is brought to the floor by no blow."""
NUMBERS = {word: value for value, word in enumerate(words("one two three four five six seven eight nine ten"), start=1)}
_NUMBER = rf"\d{{1,2}}|{'|'.join(NUMBERS)}"
A_SHARE = re.compile(
    rf"\b(?:(?P<none>0|zero|none|nothing)|(?P<some>half|some|most|part|a couple|a few|(?:{_NUMBER}) or (?:{_NUMBER})"
    rf"|only (?:the |one )?\w+(?: one)?|\w+ only)|(?P<number>{_NUMBER}))"
    r"(?: (?:out )?of(?: (?:it|them|those|these|which))?)?(?: (?:punches|jabs|kicks|shots|blows))? $",
    re.IGNORECASE,
)
"""Before the outcome of several blows: of how many of them it is told."""
THROWN_BEFORE = re.compile(rf"\b(?:x ?)?(?P<number>{_NUMBER})x?\b", re.IGNORECASE)
"""How many there were."""
HELD = re.compile(
    r"\b(?:take-?downs?|trips?|sweeps?|throws? attempt|double leg|single leg|shoots?|shot from|underhook|body lock"
    r"|hip toss|clinch|choke|armbar|armlock|triangle)\b",
    re.IGNORECASE,
)
"""What is tried with a hold, and so fails rather than misses."""
SHOUTED_DOWN = re.compile(rf"\bDOWN\b|{_HE} down!")
NOT_THE_BLOW = re.compile(r"\b(?:foot|feet|toes?|heel|boot)\b(?:\s\w+){0,2}\s$", re.IGNORECASE)
"""Before a word that then tells of a step."""
GUARDING = re.compile(
    r"\b(?:gloves?|hands|elbows?|forearms?|chin|shell|arms|both|head|palm)\s(?:\w+\s){0,2}$", re.IGNORECASE
)
"""Before a part of the body that is guarded or shown, and not hit."""
AIMED = {
    "head": r"\bhead[- ](?:kick|shot|punch|jab|hook|cross)s?\b|\bhigh kicks?\b|\bgoes (?:high|upstairs)\b",
    "body": r"\b(?:body|liver|rib|stomach)[- ]"
    r"(?:shot|kick|punch|jab|hook|cross|knee|blow|straight|uppercut|right|left)(?:s|es)?\b|\bmiddle kicks?\b",
    "legs": r"\b(?:leg|calf|thigh|low)[- ]kicks?\b",
}
"""Punches and kicks that are named by what they are aimed at."""
