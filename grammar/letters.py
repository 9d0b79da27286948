"""How an English word is said: spelling to sounds, by rules alone, so that any word a recogniser writes has a sound.

The rules follow the idea and the notation of H. S. Elovitz et al., "Automatic translation of English text to phonetics
by means of letter-to-sound rules", Naval Research Laboratory Report 7948 (1976), written down from memory and
shortened. `tests/grammar/test_sound.py` measures them against a pronouncing dictionary.

A sound is one letter:

    a bat    A bottle   V but     e bet    E bait    i bit    I beet   o boat   O boil   u book   U boot   R bird
    Y bite   W bout     C chip    J gyle   D then    T thin   S sugar  Z fusion N long   and p b t d k g f v s z m n l r
    w y h as written.
"""

import re
from collections.abc import Mapping
from functools import lru_cache

__all__ = ["VOWELS", "remember", "sounds"]

VOWELS = frozenset("aAVeEiIoOuURYW")

# letter: [what is read] between what stands before and behind it, = its sounds. The first that fits counts. In quotes
# where a word's edge (a blank) matters. Other signs stand for what _CONTEXT says.
_RULES = """
a: " [a] "=V  " [are] "=Ar  " [ar]o"=Vr  [ar]#=er  ^[as]#=Es  [a]wa=V  [aw]=A  " :[any]"=enI  [a]^+#=E  #:[ally]=VlI
   " [al]#"=Vl  [again]=Vgen  #:[ag]e=iJ  [a]^+:#=a  " :[a]^+ "=E  [a]^%=E  " [arr]"=Vr  [arr]=ar  " :[ar] "=Ar
   "[ar] "=R  [ar]=Ar  [air]=er  [ai]=E  [ay]=E  [au]=A  "#:[al] "=Vl  "#:[als] "=Vlz  [alk]=Ak  [al]^=Al
   " :[able]"=EbVl  [able]=VbVl  [ang]+=EnJ  [a]=a
b: " [be]^#"=bi  [being]=bIiN  " [both] "=boT  " [bus]#"=biz  [buil]=bil  [b]=b
c: " [ch]^"=k  ^e[ch]=k  [ch]=C  " s[ci]#"=sY  [ci]a=S  [ci]o=S  [ci]en=S  [c]+=s  [ck]=k  [com]%=kVm  [c]=k
d: "#:[ded] "=did  ".e[d] "=d  "#:^e[d] "=t  " [de]^#"=di  " [do] "=dU  " [does]"=dVz  " [doing]"=dUiN  " [dow]"=dW
   [du]a=JU  [dg]=J  [d]=d
e: "#:[e] "=  " ^:[e] "=I  "#[ed] "=d  "#:[e]d "=  [ev]er=ev  [e]^%=I  [eri]#=IrI  [eri]=eri  #:[er]#=R  [er]#=er  [er]=R
   " [even]"=Iven  #:[e]w=  @[ew]=U  [ew]=yU  [e]o=I  "#:&[es] "=iz  "#:[e]s "=  "#:[ely] "=lI  #:[ement]=ment
   [eful]=ful  [ee]=I  [earn]=Rn  " [ear]^"=R  [ead]=ed  "#:[ea] "=IV  [ea]su=e  [ea]=I  [eigh]=E  [ei]=I  " [eye]"=Y
   [ey]=I  [eu]=yU  [e]=e
f: [ful]=ful  [f]=f
g: [giv]=giv  " [g]i^"=g  [ge]t=ge  [gg]=g  " b#[g]"=g  [g]+=J  [great]=grEt  #[gh]=  " [gn]"=n  "[gn] "=n  [g]=g
h: " [hav]"=hav  " [here]"=hIr  " [hour]"=WR  [how]=hW  [h]#=h  [h]=
i: " [in]"=in  " [i] "=Y  [in]d=Yn  [ier]=IR  #:r[ied]=Id  "[ied] "=Yd  [ien]=Ien  [ie]t=YV  " :[i]%"=Y  [i]%=I  [ie]=I
   [i]^+:#=i  [ir]#=Yr  [iz]%=Yz  [is]%=Yz  [i]d%=Y  +^[i]^+=i  [i]t%=Y  #:^[i]^+=i  [i]^+=Y  [ir]=R  [igh]=Y  [ild]=Yld
   "[ign] "=Yn  [ign]^=Yn  [ign]%=Yn  [ique]=Ik  [i]=i
j: [j]=J
k: " [k]n"=  [k]=k
l: [lo]c#=lo  l[l]=  #:^[l]%=Vl  [lead]=lId  [l]=l
m: [mov]=mUv  [m]=m
n: e[ng]+=nJ  [ng]r=Ng  [ng]#=Ng  [ngl]%=NgVl  [ng]=N  [nk]=Nk  " [now] "=nW  [n]=n
o: "[of] "=Vv  [orough]=Ro  "#:[or] "=R  "#:[ors] "=Rz  [or]=Ar  " [one]"=wVn  " [over]"=ovR  [ov]=Vv  [ow]=o  [o]^%=o
   [o]^en=o  [o]^i#=o  [ol]d=ol  [ought]=At  [ough]=Vf  [ounc]=Wns  " [ou]"=W  h[ou]s#=W  [ous]=Vs  [our]=Ar  [ould]=ud
   ^[ou]^l=V  [oup]=Up  [ou]=W  [oy]=O  [oing]=oiN  [oi]=O  [oor]=Ar  [ook]=uk  [ood]=ud  [oo]=U  [o]e=o  "[o] "=o
   [oa]=o  " [once]"=wVns  c[o]n=A  [o]ng=A  " :^[o]n"=V  i[on]=Vn  "#:[on] "=Vn  #^[on]=Vn  "[o]st "=o  [of]^=Af
   [other]=VDR  "[oss] "=As  #:^[om]=Vm  [o]=A
p: [ph]=f  [peop]=pIp  [pow]=pW  "[put] "=put  [p]=p
q: [quar]=kwAr  [qu]=kw  [q]=k
r: " [re]^#"=ri  [r]=r
s: [sh]=S  #[sion]=ZVn  [some]=sVm  #[sur]#=ZR  [sur]#=SR  " [sug]"=Sug  #[su]#=ZU  #[ssu]#=SU  "#[sed] "=zd  #[s]#=z
   [said]=sed  ^[sion]=SVn  [s]s=  ".[s] "=z  "#:.e[s] "=z  "#:^##[s] "=z  "#:^#[s] "=s  "u[s] "=s  " :#[s] "=z
   " [sch]"=sk  [s]c+=  #[sm]=zm  [s]=s
t: " [the] "=DV  " [to] "=tU  "[that] "=Dat  " [this] "=Dis  " [they]"=DE  " [there]"=Der  [ther]=DR  [their]=Der
   " [than] "=Dan  " [them] "=Dem  " [these] "=DIz  " [then]"=Den  [through]=TrU  [those]=Doz  "[though] "=Do
   " [thus]"=DVs  [th]=T  "#:[ted] "=tid  s[ti]#n=C  [ti]o=S  [ti]a=S  [tien]=SVn  [tur]#=CR  [tu]a=CU  " [two]"=tU
   [tch]=C  [t]=t
u: " [un]i"=yUn  " [un]"=Vn  @[ur]#=ur  [ur]#=yur  [ur]=R  "[u]^ "=V  [u]^^=V  [uy]=Y  " g[u]#"=  g[u]%=  g[u]#=w
   #n[u]=yU  @[u]=U  [u]=yU
v: [view]=vyU  [v]=v
w: " [were]"=wR  [wa]s=wA  [wa]t=wA  [where]=wer  [what]=wVt  [whol]=hol  [who]=hU  [wh]=w  [war]=wAr  [wor]^=wR  [wr]=r
   [w]=w
x: [x]=ks
y: [young]=yVN  " [you]"=yU  " [yes]"=yes  " [y]"=y  "#:^[y] "=I  #:^[y]i=I  " :[y] "=Y  " :[y]#"=Y  " :[y]^+:#"=i
   " :[y]^#"=Y  [y]=i
z: [z]=z
"""

_CONTEXT = {
    "#": "[aeiouy]+",
    ":": "[^aeiouy ]*",
    "^": "[^aeiouy ]",
    ".": "[bdvgjlmnrwz]",  # voiced
    "+": "[eiy]",
    "%": "(?:er|es|ed|e|ing|ely)(?![a-z])",
    "@": "(?:[tsrdlznj]|th|ch|sh)",
    "&": "(?:[scgzxj]|ch|sh)",
}

_Rule = tuple[re.Pattern[str], str, re.Pattern[str], str]
"""What stands before, what is read, what stands behind, the sounds."""


def _read_rules() -> dict[str, list[_Rule]]:
    table: dict[str, list[_Rule]] = {}
    for letter, rules in re.findall(r"^(\w): (.*(?:\n   .*)*)", _RULES, re.MULTILINE):
        for quoted, bare, said in re.findall(r'(?:"([^"]*)"|(\S*?\[\w+\][^=\s]*))=(\S*)', rules):
            before, _, rest = (quoted or bare).partition("[")
            read, _, behind = rest.partition("]")
            table.setdefault(letter, []).append(
                (re.compile(_pattern(before) + "$"), read, re.compile(_pattern(behind)), said))
    return table


def _pattern(context: str) -> str:
    return "".join(_CONTEXT.get(sign, sign) for sign in context)


_TABLE = _read_rules()


_read_before: dict[str, str] = {}
"""Words whose sounds were worked out in an earlier run."""


def remember(said: Mapping[str, str]) -> None:
    """Take over what `sounds` gave for these words before; to work it out takes 40 microseconds a word."""
    _read_before.update(said)


def sounds(word: str) -> str:
    """The sounds of one word in lower-case letters, `willamette` -> `wilamet`; what is no letter a-z is silent."""
    return _read_before.get(word) or _sounds(word)


@lru_cache(maxsize=16384)
def _sounds(word: str) -> str:
    edged = f" {word} "
    at, said = 1, ""
    while at <= len(word):
        read, found = _read(edged, at)
        at += len(read)
        said += found
    return re.sub(r"(.)\1", r"\1", said)


def _read(edged: str, at: int) -> tuple[str, str]:
    """The letters read next and their sounds."""
    for before, read, behind, said in _TABLE.get(edged[at], ()):
        if edged.startswith(read, at) and before.search(edged, 0, at) and behind.match(edged, at + len(read)):
            return read, said
    return edged[at], ""
