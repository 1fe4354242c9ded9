// The packaged code reader, run as a worker. Made by go run ./build/reader from zxing-wasm 3.1.4, changed so
// that it loads nothing by itself. Do not edit. Licences: LICENSE.txt beside this file.
var ZXingWASM=(function(e){Object.defineProperty(e,Symbol.toStringTag,{value:`Module`});var t=[[`All`,`*`,`*`,`     `,0,`All`],[`AllReadable`,`*`,`r`,`     `,0,`All Readable`],[`AllCreatable`,`*`,`w`,`     `,0,`All Creatable`],[`AllLinear`,`*`,`l`,`     `,0,`All Linear`],[`AllMatrix`,`*`,`m`,`     `,0,`All Matrix`],[`AllGS1`,`*`,`G`,`     `,0,`All GS1`],[`AllRetail`,`*`,`R`,`     `,0,`All Retail`],[`AllIndustrial`,`*`,`I`,`     `,0,`All Industrial`],[`Codabar`,`F`,` `,`lrw  `,18,`Codabar`],[`Code39`,`A`,` `,`lrw I`,8,`Code 39`],[`Code39Std`,`A`,`s`,`lrw I`,8,`Code 39 Standard`],[`Code39Ext`,`A`,`e`,`lr  I`,9,`Code 39 Extended`],[`Code32`,`A`,`2`,`lr  I`,129,`Code 32`],[`PZN`,`A`,`p`,`lr  I`,52,`Pharmazentralnummer`],[`Code93`,`G`,` `,`lrw I`,25,`Code 93`],[`Code128`,`C`,` `,`lrwGI`,20,`Code 128`],[`ITF`,`I`,` `,`lrw I`,3,`ITF`],[`ITF14`,`I`,`4`,`lr  I`,89,`ITF-14`],[`DataBar`,`e`,` `,`lr GR`,29,`DataBar`],[`DataBarOmni`,`e`,`o`,`lr GR`,29,`DataBar Omni`],[`DataBarStk`,`e`,`s`,`lr GR`,79,`DataBar Stacked`],[`DataBarStkOmni`,`e`,`O`,`lr GR`,80,`DataBar Stacked Omni`],[`DataBarLtd`,`e`,`l`,`lr GR`,30,`DataBar Limited`],[`DataBarExp`,`e`,`e`,`lr GR`,31,`DataBar Expanded`],[`DataBarExpStk`,`e`,`E`,`lr GR`,81,`DataBar Expanded Stacked`],[`EANUPC`,`E`,` `,`lr  R`,15,`EAN/UPC`],[`EAN13`,`E`,`1`,`lrw R`,15,`EAN-13`],[`EAN8`,`E`,`8`,`lrw R`,10,`EAN-8`],[`EAN5`,`E`,`5`,`l   R`,12,`EAN-5`],[`EAN2`,`E`,`2`,`l   R`,11,`EAN-2`],[`ISBN`,`E`,`i`,`lr  R`,69,`ISBN`],[`UPCA`,`E`,`a`,`lrw R`,34,`UPC-A`],[`UPCE`,`E`,`e`,`lrw R`,37,`UPC-E`],[`Telepen`,`B`,` `,`lr  I`,32,`Telepen`],[`TelepenAlpha`,`B`,`0`,`lr  I`,32,`Telepen Alpha`],[`TelepenNumeric`,`B`,`1`,`lr  I`,87,`Telepen Numeric`],[`OtherBarcode`,`X`,` `,` r   `,0,`Other barcode`],[`DXFilmEdge`,`X`,`x`,`lr   `,147,`DX Film Edge`],[`PDF417`,`L`,` `,`mrw  `,55,`PDF417`],[`CompactPDF417`,`L`,`c`,`mr   `,56,`Compact PDF417`],[`MicroPDF417`,`L`,`m`,`mr   `,84,`MicroPDF417`],[`Aztec`,`z`,` `,`mr G `,92,`Aztec`],[`AztecCode`,`z`,`c`,`mrwG `,92,`Aztec Code`],[`AztecRune`,`z`,`r`,`mr   `,128,`Aztec Rune`],[`QRCode`,`Q`,` `,`mrwG `,58,`QR Code`],[`QRCodeModel1`,`Q`,`1`,`mr   `,0,`QR Code Model 1`],[`QRCodeModel2`,`Q`,`2`,`mr   `,58,`QR Code Model 2`],[`MicroQRCode`,`Q`,`m`,`mr   `,97,`Micro QR Code`],[`RMQRCode`,`Q`,`r`,`mr G `,145,`rMQR Code`],[`DataMatrix`,`d`,` `,`mrwG `,71,`Data Matrix`],[`MaxiCode`,`U`,` `,`mr   `,57,`MaxiCode`]],n={DataBarExpanded:`DataBarExp`,DataBarLimited:`DataBarLtd`,"Linear-Codes":`AllLinear`,"Matrix-Codes":`AllMatrix`,Any:`All`,rMQRCode:`RMQRCode`},r=t.map(e=>e[5]),i=t.filter(e=>e[1]===`*`).map(e=>e[0]),a=t.filter(e=>e[1]!==`*`).map(e=>e[0]),o=a,s=t.filter(e=>e[2]===` `).map(e=>e[0]),c=t.filter(e=>e[3][0]===`l`).map(e=>e[0]),l=c,u=t.filter(e=>e[3][0]===`m`).map(e=>e[0]),d=u,f=t.filter(e=>e[3][1]===`r`).map(e=>e[0]),p=t.filter(e=>e[3][2]===`w`||e[4]!==0).map(e=>e[0]),m=t.filter(e=>e[3][3]===`G`).map(e=>e[0]),h=t.filter(e=>e[3][4]===`R`).map(e=>e[0]),g=t.filter(e=>e[3][4]===`I`).map(e=>e[0]);function _(e){let n=[],r;for(let i of t)if(i[1]!==`*`){if(!r)i[0]===e&&(n.push(i[0]),r=i[1]);else if(i[1]===r)n.push(i[0]);else break}return n}function v(e){let n;for(let r of t)if(r[1]!==`*`&&(r[2]===` `&&(n=r[0]),r[0]===e))return n}function y(e){var r;let i=(r=n[e])==null?e:r;for(let e of t)if(e[0]===i||e[5]===i)return e[5]}function ee(e){var t;return(t=n[e])==null?e:t}function te(e){return e.map(ee).join(`,`)}var ne=[`LocalAverage`,`GlobalHistogram`,`FixedThreshold`,`BoolCast`],b=ne;function x(e){return ne.indexOf(e)}var S=`Unknown.ASCII.ISO8859_1.ISO8859_2.ISO8859_3.ISO8859_4.ISO8859_5.ISO8859_6.ISO8859_7.ISO8859_8.ISO8859_9.ISO8859_10.ISO8859_11.ISO8859_13.ISO8859_14.ISO8859_15.ISO8859_16.Cp437.Cp1250.Cp1251.Cp1252.Cp1256.Shift_JIS.Big5.GB2312.GB18030.EUC_JP.EUC_KR.UTF16BE.UTF8.UTF16LE.UTF32BE.UTF32LE.BINARY`.split(`.`),re=S;function ie(e){return e===`UnicodeBig`?S.indexOf(`UTF16BE`):S.indexOf(e)}var ae=[`Text`,`Binary`,`Mixed`,`GS1`,`ISO15434`,`UnknownECI`],oe=ae;function se(e){return ae[e]}var ce=[`Ignore`,`Read`,`Require`],C=ce;function w(e){return ce.indexOf(e)}var T=[`Plain`,`ECI`,`HRI`,`Escaped`,`Hex`,`HexECI`],le=T;function ue(e){return T.indexOf(e)}var E={formats:[],tryHarder:!0,tryRotate:!0,tryInvert:!0,tryDownscale:!0,tryDenoise:!1,binarizer:`LocalAverage`,isPure:!1,downscaleFactor:3,downscaleThreshold:500,minLineCount:2,maxNumberOfSymbols:255,validateOptionalChecksum:!1,returnErrors:!1,eanAddOnSymbol:`Ignore`,textMode:`HRI`,characterSet:`Unknown`,tryCode39ExtendedMode:!0};function D(e){var t;return{...e,formats:te(e.formats),binarizer:x(e.binarizer),eanAddOnSymbol:w(e.eanAddOnSymbol),textMode:ue(e.textMode),characterSet:ie(e.characterSet),tryCode39ExtendedMode:(t=e.tryCode39ExtendedMode)==null||t}}function O(e){return{...e,orientation:e.rotation,format:e.format,symbology:e.symbology,contentType:se(e.contentType)}}var de=`3.1.4`,fe=`0b2d9a8fc81f420f369928c24331091ff0525976`,pe={locateFile:(e,t)=>{return t+e}},k=new WeakMap;function me(e,t){return Object.is(e,t)||Object.keys(e).length===Object.keys(t).length&&Object.keys(e).every(n=>Object.hasOwn(t,n)&&e[n]===t[n])}function A(e,{overrides:t,equalityFn:n=me,fireImmediately:r=!1}={}){var i,a;let[o,s]=(i=k.get(e))==null?[pe]:i,c=t==null?o:t,l;if(r){if(s&&(l=n(o,c)))return s;let t=e({...c});return k.set(e,[c,t]),t}((a=l)==null?n(o,c):a)||k.set(e,[c])}function j(e){k.delete(e)}function M(e){let t=e.byteLength>>2,n=new Uint8Array(t);for(let r=0;r<t;r++){let t=r<<2;n[r]=306*e[t]+601*e[t+1]+117*e[t+2]+512>>10}return n}async function he(e,t,n=E){let r={...E,...n},i=await A(e,{fireImmediately:!0}),a,o;if(`width`in t&&`height`in t&&`data`in t){let{data:e,width:n,height:s}=t,c=M(e),l=c.byteLength;if(o=i._malloc(l),!o)throw Error(`Failed to allocate ${l} bytes in WASM memory`);try{i.HEAPU8.set(c,o),a=i.readBarcodesFromPixmap(o,n,s,D(r))}finally{i._free(o)}}else{let e,n;if(`buffer`in t)[e,n]=[t.byteLength,t];else if(`byteLength`in t)[e,n]=[t.byteLength,new Uint8Array(t)];else if(`size`in t)[e,n]=[t.size,new Uint8Array(await t.arrayBuffer())];else throw TypeError(`Invalid input type`);if(o=i._malloc(e),!o)throw Error(`Failed to allocate ${e} bytes in WASM memory`);try{i.HEAPU8.set(n,o),a=i.readBarcodesFromImage(o,e,D(r))}finally{i._free(o)}}let s=[];for(let e=0;e<a.size();++e)s.push(O(a.get(e)));return s}async function ge(e={}){var t,n,r,i=e,a=!!globalThis.window,o=typeof Bun<`u`,s=!!globalThis.WorkerGlobalScope;(n=globalThis.process)!=null&&(n=n.versions)!=null&&n.node&&((r=globalThis.process)==null||r.type);var c,l=``;function u(e){return i.locateFile?i.locateFile(e,l):l+e}var d,f;if(a||s||o){try{l=new URL(`.`,c).href}catch{}}console.log.bind(console);var p=console.error.bind(console),m,h=!1,g,_,v=!1;function y(){var e=Fn.buffer;T=new Int8Array(e),C=new Int16Array(e),i.HEAPU8=O=new Uint8Array(e),E=new Uint16Array(e),w=new Int32Array(e),D=new Uint32Array(e),le=new Float32Array(e),ue=new Float64Array(e)}function ee(){if(i.preRun)for(typeof i.preRun==`function`&&(i.preRun=[i.preRun]);i.preRun.length;)me(i.preRun.shift());de(k)}function te(){v=!0,$.ra()}function ne(){if(i.postRun)for(typeof i.postRun==`function`&&(i.postRun=[i.postRun]);i.postRun.length;)pe(i.postRun.shift());de(fe)}function b(e){var t,n;(t=i.onAbort)==null||t.call(i,e),e=`Aborted(`+e+`)`,p(e),h=!0,e+=`. Build with -sASSERTIONS for more info.`;var r=new WebAssembly.RuntimeError(e);throw(n=_)==null||n(r),r}var x;function S(){return u(`zxing_reader.wasm`)}function re(e){if(e==x&&m)return new Uint8Array(m);if(f)return f(e);throw`the bytes of the wasm were not handed over`}async function ie(e){if(!m)try{var t=await d(e);return new Uint8Array(t)}catch{}return re(e)}async function ae(e,t){try{var n=await ie(e);return await WebAssembly.instantiate(n,t)}catch(e){p(`failed to asynchronously prepare wasm: ${e}`),b(e)}}async function oe(e,t,n){return ae(t,n)}function se(){return{a:Rn}}async function ce(){function e(e,t){return $=e.exports,Ln($),y(),$}function t(t){return e(t.instance)}var n=se();return i.instantiateWasm?new Promise((t,r)=>{i.instantiateWasm(n,(n,r)=>{t(e(n,r))})}):(x!=null||(x=S()),t(await oe(m,x,n)))}var C,w,T,le,ue,E,D,O,de=e=>{for(;e.length>0;)e.shift()(i)},fe=[],pe=e=>fe.push(e),k=[],me=e=>k.push(e),A=e=>On(e),j=()=>kn(),M=[],he=0,ge=e=>{var t=new ve(e);return t.get_caught()||(t.set_caught(!0),he--),t.set_rethrown(!1),M.push(t),En(e)},N=0,_e=()=>{Q(0,0);var e=M.pop();jn(e.excPtr),N=0};class ve{constructor(e){this.excPtr=e,this.ptr=e-24}set_type(e){D[this.ptr+4>>2]=e}get_type(){return D[this.ptr+4>>2]}set_destructor(e){D[this.ptr+8>>2]=e}get_destructor(){return D[this.ptr+8>>2]}set_caught(e){e=+!!e,T[this.ptr+12]=e}get_caught(){return T[this.ptr+12]!=0}set_rethrown(e){e=+!!e,T[this.ptr+13]=e}get_rethrown(){return T[this.ptr+13]!=0}init(e,t){this.set_adjusted_ptr(0),this.set_type(e),this.set_destructor(t)}set_adjusted_ptr(e){D[this.ptr+16>>2]=e}get_adjusted_ptr(){return D[this.ptr+16>>2]}}var P=e=>Dn(e),ye=e=>{var t=N;if(!t)return P(0),0;var n=new ve(t);n.set_adjusted_ptr(t);var r=n.get_type();if(!r)return P(0),t;for(var i of e){if(i===0||i===r)break;var a=n.ptr+16;if(Mn(i,r,a))return P(i),t}return P(r),t},be=()=>ye([]),xe=e=>ye([e]),Se=(e,t)=>ye([e,t]),Ce=()=>{var e=M.pop();e||b(`no exception to throw`);var t=e.excPtr;throw e.get_rethrown()||(M.push(e),e.set_rethrown(!0),e.set_caught(!1),he++),An(t),N=t,N},we=(e,t,n)=>{throw new ve(e).init(t,n),An(e),N=e,he++,N},Te=e=>{throw N||(N=e),N},Ee=()=>b(``),F={},De=e=>{for(;e.length;){var t=e.pop();e.pop()(t)}};function I(e){return this.fromWireType(D[e>>2])}var L={},R={},z={},Oe=class extends Error{constructor(e){super(e),this.name=`InternalError`}},B=e=>{throw new Oe(e)},V=(e,t,n)=>{e.forEach(e=>z[e]=t);function r(t){var r=n(t);r.length!==e.length&&B(`Mismatched type converter count`);for(var i=0;i<e.length;++i)G(e[i],r[i])}var i=Array(t.length),a=[],o=0;{let e=t;for(let t=0;t<e.length;++t){let n=e[t];R.hasOwnProperty(n)?i[t]=R[n]:(a.push(n),L.hasOwnProperty(n)||(L[n]=[]),L[n].push(()=>{i[t]=R[n],++o,o===a.length&&r(i)}))}}a.length===0&&r(i)},ke=e=>{var t=F[e];delete F[e];var n=t.rawConstructor,r=t.rawDestructor,i=t.fields,a=i.map(e=>e.getterReturnType).concat(i.map(e=>e.setterArgumentType));V([e],a,e=>{var a={};{let t=i;for(let n=0;n<t.length;++n){let r=t[n],o=e[n],s=r.getter,c=r.getterContext,l=e[n+i.length],u=r.setter,d=r.setterContext;a[r.fieldName]={read:e=>o.fromWireType(s(c,e)),write:(e,t)=>{var n=[];u(d,e,l.toWireType(n,t)),De(n)},optional:o.optional}}}return[{name:t.name,fromWireType:e=>{var t={};for(var n in a)t[n]=a[n].read(e);return r(e),t},toWireType:(e,t)=>{for(var i in a)if(!(i in t)&&!a[i].optional)throw TypeError(`Missing field: "${i}"`);var o=n();for(i in a)a[i].write(o,t[i]);return e!==null&&e.push(r,o),o},readValueFromPointer:I,destructorFunction:r}]})},Ae=(e,t,n,r,i)=>{},H=e=>{for(var t=``;;){var n=O[e++];if(!n)return t;t+=String.fromCharCode(n)}},U=class extends Error{constructor(e){super(e),this.name=`BindingError`}},W=e=>{throw new U(e)};function je(e,t){let n=arguments.length>2&&arguments[2]!==void 0?arguments[2]:{};var r=t.name;if(e||W(`type "${r}" must have a positive integer typeid pointer`),R.hasOwnProperty(e)){if(n.ignoreDuplicateRegistrations)return;W(`Cannot register type '${r}' twice`)}if(R[e]=t,delete z[e],L.hasOwnProperty(e)){var i=L[e];delete L[e],i.forEach(e=>e())}}function G(e,t){return je(e,t,arguments.length>2&&arguments[2]!==void 0?arguments[2]:{})}var Me=(e,t,n,r)=>{t=H(t),G(e,{name:t,fromWireType:function(e){return!!e},toWireType:function(e,t){return t?n:r},readValueFromPointer:function(e){return this.fromWireType(O[e])},destructorFunction:null})},Ne=e=>({count:e.count,deleteScheduled:e.deleteScheduled,preservePointerOnDelete:e.preservePointerOnDelete,ptr:e.ptr,ptrType:e.ptrType,smartPtr:e.smartPtr,smartPtrType:e.smartPtrType}),Pe=e=>{function t(e){return e.$$.ptrType.registeredClass.name}W(t(e)+` instance already deleted`)},Fe=!1,Ie=e=>{},Le=e=>{e.smartPtr?e.smartPtrType.rawDestructor(e.smartPtr):e.ptrType.registeredClass.rawDestructor(e.ptr)},Re=e=>{--e.count.value,e.count.value===0&&Le(e)},K=e=>globalThis.FinalizationRegistry?(Fe=new FinalizationRegistry(e=>{Re(e.$$)}),K=e=>{var t=e.$$;if(t.smartPtr){var n={$$:t};Fe.register(e,n,e)}return e},Ie=e=>Fe.unregister(e),K(e)):(K=e=>e,e),ze=[],Be=()=>{for(;ze.length;){var e=ze.pop();e.$$.deleteScheduled=!1,e.delete()}},Ve,He=()=>{let e=Ue.prototype;Object.assign(e,{isAliasOf(e){if(!(this instanceof Ue)||!(e instanceof Ue))return!1;var t=this.$$.ptrType.registeredClass,n=this.$$.ptr;e.$$=e.$$;for(var r=e.$$.ptrType.registeredClass,i=e.$$.ptr;t.baseClass;)n=t.upcast(n),t=t.baseClass;for(;r.baseClass;)i=r.upcast(i),r=r.baseClass;return t===r&&n===i},clone(){if(this.$$.ptr||Pe(this),this.$$.preservePointerOnDelete)return this.$$.count.value+=1,this;var e=K(Object.create(Object.getPrototypeOf(this),{$$:{value:Ne(this.$$)}}));return e.$$.count.value+=1,e.$$.deleteScheduled=!1,e},delete(){this.$$.ptr||Pe(this),this.$$.deleteScheduled&&!this.$$.preservePointerOnDelete&&W(`Object already scheduled for deletion`),Ie(this),Re(this.$$),this.$$.preservePointerOnDelete||(this.$$.smartPtr=void 0,this.$$.ptr=void 0)},isDeleted(){return!this.$$.ptr},deleteLater(){return this.$$.ptr||Pe(this),this.$$.deleteScheduled&&!this.$$.preservePointerOnDelete&&W(`Object already scheduled for deletion`),ze.push(this),ze.length===1&&Ve&&Ve(Be),this.$$.deleteScheduled=!0,this}});let t=Symbol.dispose;t&&(e[t]=e.delete)};function Ue(){}var We=(e,t)=>Object.defineProperty(t,"name",{value:e}),Ge={},Ke=(e,t,n)=>{if(e[t].overloadTable===void 0){var r=e[t];e[t]=function(){for(var r=arguments.length,i=Array(r),a=0;a<r;a++)i[a]=arguments[a];return e[t].overloadTable.hasOwnProperty(i.length)||W(`Function '${n}' called with an invalid number of arguments (${i.length}) - expects one of (${e[t].overloadTable})!`),e[t].overloadTable[i.length].apply(this,i)},e[t].overloadTable=[],e[t].overloadTable[r.argCount]=r}},qe=(e,t,n)=>{i.hasOwnProperty(e)?((n===void 0||i[e].overloadTable!==void 0&&i[e].overloadTable[n]!==void 0)&&W(`Cannot register public name '${e}' twice`),Ke(i,e,e),i[e].overloadTable.hasOwnProperty(n)&&W(`Cannot register multiple overloads of a function with the same number of arguments (${n})!`),i[e].overloadTable[n]=t):(i[e]=t,i[e].argCount=n)},Je=48,Ye=57,Xe=e=>{e=e.replace(/[^a-zA-Z0-9_]/g,`$`);var t=e.charCodeAt(0);return t>=Je&&t<=Ye?`_${e}`:e};function Ze(e,t,n,r,i,a,o,s){this.name=e,this.constructor=t,this.instancePrototype=n,this.rawDestructor=r,this.baseClass=i,this.getActualType=a,this.upcast=o,this.downcast=s,this.pureVirtualFunctions=[]}var Qe=(e,t,n)=>{for(;t!==n;)t.upcast||W(`Expected null or instance of ${n.name}, got an instance of ${t.name}`),e=t.upcast(e),t=t.baseClass;return e},$e=e=>{if(e===null)return`null`;var t=typeof e;return t===`object`||t===`array`||t===`function`?e.toString():``+e};function et(e,t){if(t===null)return this.isReference&&W(`null is not a valid ${this.name}`),0;t.$$||W(`Cannot pass "${$e(t)}" as a ${this.name}`),t.$$.ptr||W(`Cannot pass deleted object as a pointer of type ${this.name}`);var n=t.$$.ptrType.registeredClass;return Qe(t.$$.ptr,n,this.registeredClass)}function tt(e,t){var n;if(t===null)return this.isReference&&W(`null is not a valid ${this.name}`),this.isSmartPointer?(n=this.rawConstructor(),e!==null&&e.push(this.rawDestructor,n),n):0;(!t||!t.$$)&&W(`Cannot pass "${$e(t)}" as a ${this.name}`),t.$$.ptr||W(`Cannot pass deleted object as a pointer of type ${this.name}`),!this.isConst&&t.$$.ptrType.isConst&&W(`Cannot convert argument of type ${t.$$.smartPtrType?t.$$.smartPtrType.name:t.$$.ptrType.name} to parameter type ${this.name}`);var r=t.$$.ptrType.registeredClass;if(n=Qe(t.$$.ptr,r,this.registeredClass),this.isSmartPointer)switch(t.$$.smartPtr===void 0&&W(`Passing raw pointer to smart pointer is illegal`),this.sharingPolicy){case 0:t.$$.smartPtrType===this?n=t.$$.smartPtr:W(`Cannot convert argument of type ${t.$$.smartPtrType?t.$$.smartPtrType.name:t.$$.ptrType.name} to parameter type ${this.name}`);break;case 1:n=t.$$.smartPtr;break;case 2:if(t.$$.smartPtrType===this)n=t.$$.smartPtr;else{var i=t.clone();n=this.rawShare(n,X.toHandle(()=>i.delete())),e!==null&&e.push(this.rawDestructor,n)}break;default:W(`Unsupported sharing policy`)}return n}function nt(e,t){if(t===null)return this.isReference&&W(`null is not a valid ${this.name}`),0;t.$$||W(`Cannot pass "${$e(t)}" as a ${this.name}`),t.$$.ptr||W(`Cannot pass deleted object as a pointer of type ${this.name}`),t.$$.ptrType.isConst&&W(`Cannot convert argument of type ${t.$$.ptrType.name} to parameter type ${this.name}`);var n=t.$$.ptrType.registeredClass;return Qe(t.$$.ptr,n,this.registeredClass)}var rt=(e,t,n)=>{if(t===n)return e;if(n.baseClass===void 0)return null;var r=rt(e,t,n.baseClass);return r===null?null:n.downcast(r)},it={},at=(e,t)=>{for(t===void 0&&W(`ptr should not be undefined`);e.baseClass;)t=e.upcast(t),e=e.baseClass;return t},ot=(e,t)=>(t=at(e,t),it[t]),st=(e,t)=>((!t.ptrType||!t.ptr)&&B(`makeClassHandle requires ptr and ptrType`),!!t.smartPtrType!=!!t.smartPtr&&B(`Both smartPtrType and smartPtr must be specified`),t.count={value:1},K(Object.create(e,{$$:{value:t,writable:!0}})));function ct(e){var t=this.getPointee(e);if(!t)return this.destructor(e),null;var n=ot(this.registeredClass,t);if(n!==void 0){if(n.$$.count.value===0)return n.$$.ptr=t,n.$$.smartPtr=e,n.clone();var r=n.clone();return this.destructor(e),r}function i(){return this.isSmartPointer?st(this.registeredClass.instancePrototype,{ptrType:this.pointeeType,ptr:t,smartPtrType:this,smartPtr:e}):st(this.registeredClass.instancePrototype,{ptrType:this,ptr:e})}var a=Ge[this.registeredClass.getActualType(t)];if(!a)return i.call(this);var o=this.isConst?a.constPointerType:a.pointerType,s=rt(t,this.registeredClass,o.registeredClass);return s===null?i.call(this):this.isSmartPointer?st(o.registeredClass.instancePrototype,{ptrType:o,ptr:s,smartPtrType:this,smartPtr:e}):st(o.registeredClass.instancePrototype,{ptrType:o,ptr:s})}var lt=()=>{Object.assign(ut.prototype,{getPointee(e){return this.rawGetPointee&&(e=this.rawGetPointee(e)),e},destructor(e){var t;(t=this.rawDestructor)==null||t.call(this,e)},readValueFromPointer:I,fromWireType:ct})};function ut(e,t,n,r,i,a,o,s,c,l,u){this.name=e,this.registeredClass=t,this.isReference=n,this.isConst=r,this.isSmartPointer=i,this.pointeeType=a,this.sharingPolicy=o,this.rawGetPointee=s,this.rawConstructor=c,this.rawShare=l,this.rawDestructor=u,!i&&t.baseClass===void 0?r?(this.toWireType=et,this.destructorFunction=null):(this.toWireType=nt,this.destructorFunction=null):this.toWireType=tt}var dt=(e,t,n)=>{i.hasOwnProperty(e)||B(`Replacing nonexistent public symbol`),i[e].overloadTable!==void 0&&n!==void 0?i[e].overloadTable[n]=t:(i[e]=t,i[e].argCount=n)},ft={},pt=(e,t,n)=>{e=e.replace(/p/g,`i`);var r=ft[e];return r(t,...n)},mt=[],q=e=>{var t=mt[e];return t||(mt[e]=t=In.get(e)),t},ht=function(e,t){let n=arguments.length>2&&arguments[2]!==void 0?arguments[2]:[];if(arguments.length>3&&arguments[3]!==void 0&&arguments[3],e.includes(`j`))return pt(e,t,n);var r=q(t)(...n);function i(e){return e}return i(r)},gt=function(e,t){let n=arguments.length>2&&arguments[2]!==void 0&&arguments[2];return function(){for(var r=arguments.length,i=Array(r),a=0;a<r;a++)i[a]=arguments[a];return ht(e,t,i,n)}},J=function(e,t){arguments.length>2&&arguments[2]!==void 0&&arguments[2],e=H(e);function n(){return e.includes(`j`)?gt(e,t):q(t)}var r=n();return typeof r!=`function`&&W(`unknown function pointer with signature ${e}: ${t}`),r};class _t extends Error{}var vt=e=>{var t=wn(e),n=H(t);return Z(t),n},yt=(e,t)=>{var n=[],r={};function i(e){if(!r[e]&&!R[e]){if(z[e]){z[e].forEach(i);return}n.push(e),r[e]=!0}}throw t.forEach(i),new _t(`${e}: `+n.map(vt).join([`, `]))},bt=(e,t,n,r,i,a,o,s,c,l,u,d,f)=>{u=H(u),a=J(i,a),s&&(s=J(o,s)),l&&(l=J(c,l)),f=J(d,f);var p=Xe(u);qe(p,function(){yt(`Cannot construct ${u} due to unbound types`,[r])}),V([e,t,n],r?[r]:[],t=>{t=t[0];var n,i;r?(n=t.registeredClass,i=n.instancePrototype):i=Ue.prototype;var o=We(u,function(){if(Object.getPrototypeOf(this)!==c)throw new U(`Use 'new' to construct ${u}`);if(d.constructor_body===void 0)throw new U(`${u} has no accessible constructor`);for(var e=arguments.length,t=Array(e),n=0;n<e;n++)t[n]=arguments[n];var r=d.constructor_body[t.length];if(r===void 0)throw new U(`Tried to invoke ctor of ${u} with invalid number of parameters (${t.length}) - expected (${Object.keys(d.constructor_body).toString()}) parameters instead!`);return r.apply(this,t)}),c=Object.create(i,{constructor:{value:o}});o.prototype=c;var d=new Ze(u,o,c,f,n,a,s,l);if(d.baseClass){var m;(m=d.baseClass).__derivedClasses!=null||(m.__derivedClasses=[]),d.baseClass.__derivedClasses.push(d)}var h=new ut(u,d,!0,!1,!1),g=new ut(u+`*`,d,!1,!1,!1),_=new ut(u+` const*`,d,!1,!0,!1);return Ge[e]={pointerType:g,constPointerType:_},dt(p,o),[h,g,_]})},xt=(e,t)=>{for(var n=[],r=0;r<e;r++)n.push(D[t+r*4>>2]);return n};function St(e){for(var t=1;t<e.length;++t)if(e[t]!==null&&e[t].destructorFunction===void 0)return!0;return!1}function Ct(e,t,n,r,i,a){var o=t.length;o<2&&W(`argTypes array size mismatch! Must at least get return value and 'this' types!`);var s=t[1]!==null&&n!==null,c=St(t),l=!t[0].isVoid,u=o-2,d=Array(u),f=[],p=[];return We(e,function(){p.length=0;var e;f.length=s?2:1,f[0]=i,s&&(e=t[1].toWireType(p,this),f[1]=e);for(var n=0;n<u;++n)d[n]=t[n+2].toWireType(p,n<0||arguments.length<=n?void 0:arguments[n]),f.push(d[n]);var a=r(...f);function o(n){if(c)De(p);else for(var r=s?1:2;r<t.length;r++){var i=r===1?e:d[r-2];t[r].destructorFunction!==null&&t[r].destructorFunction(i)}if(l)return t[0].fromWireType(n)}return o(a)})}var wt=(e,t,n,r,i,a)=>{var o=xt(t,n);i=J(r,i),V([],[e],e=>{e=e[0];var n=`constructor ${e.name}`;if(e.registeredClass.constructor_body===void 0&&(e.registeredClass.constructor_body=[]),e.registeredClass.constructor_body[t-1]!==void 0)throw new U(`Cannot register multiple constructors with identical number of parameters (${t-1}) for class '${e.name}'! Overload resolution is currently only performed using the parameter count, not actual type info!`);return e.registeredClass.constructor_body[t-1]=()=>{yt(`Cannot construct ${e.name} due to unbound types`,o)},V([],o,r=>(r.splice(1,0,null),e.registeredClass.constructor_body[t-1]=Ct(n,r,null,i,a),[])),[]})},Tt=e=>{e=e.trim();let t=e.indexOf(`(`);return t===-1?e:e.slice(0,t)},Et=(e,t,n,r,i,a,o,s,c,l)=>{var u=xt(n,r);t=H(t),t=Tt(t),a=J(i,a,c),V([],[e],e=>{e=e[0];var r=`${e.name}.${t}`;t.startsWith(`@@`)&&(t=Symbol[t.substring(2)]),s&&e.registeredClass.pureVirtualFunctions.push(t);function i(){yt(`Cannot call ${r} due to unbound types`,u)}var l=e.registeredClass.instancePrototype,d=l[t];return d===void 0||d.overloadTable===void 0&&d.className!==e.name&&d.argCount===n-2?(i.argCount=n-2,i.className=e.name,l[t]=i):(Ke(l,t,r),l[t].overloadTable[n-2]=i),V([],u,i=>{var s=Ct(r,i,e,a,o,c);return l[t].overloadTable===void 0?(s.argCount=n-2,l[t]=s):l[t].overloadTable[n-2]=s,[]}),[]})},Dt=[],Y=[0,1,,1,null,1,!0,1,!1,1],Ot=e=>{e>9&&--Y[e+1]===0&&(Y[e]=void 0,Dt.push(e))},X={toValue:e=>(e||W(`Cannot use deleted val. handle = ${e}`),Y[e]),toHandle:e=>{switch(e){case void 0:return 2;case null:return 4;case!0:return 6;case!1:return 8;default:{let t=Dt.pop()||Y.length;return Y[t]=e,Y[t+1]=1,t}}}},kt={name:`emscripten::val`,fromWireType:e=>{var t=X.toValue(e);return Ot(e),t},toWireType:(e,t)=>X.toHandle(t),readValueFromPointer:I,destructorFunction:null},At=e=>G(e,kt),jt=(e,t)=>{switch(t){case 4:return function(e){return this.fromWireType(le[e>>2])};case 8:return function(e){return this.fromWireType(ue[e>>3])};default:throw TypeError(`invalid float width (${t}): ${e}`)}},Mt=(e,t,n)=>{t=H(t),G(e,{name:t,fromWireType:e=>e,toWireType:(e,t)=>t,readValueFromPointer:jt(t,n),destructorFunction:null})},Nt=(e,t,n,r,i,a,o,s)=>{var c=xt(t,n);e=H(e),e=Tt(e),i=J(r,i,o),qe(e,function(){yt(`Cannot call ${e} due to unbound types`,c)},t-1),V([],c,n=>{var r=[n[0],null].concat(n.slice(1));return dt(e,Ct(e,r,null,i,a,o),t-1),[]})},Pt=(e,t,n)=>{switch(t){case 1:return n?e=>T[e]:e=>O[e];case 2:return n?e=>C[e>>1]:e=>E[e>>1];case 4:return n?e=>w[e>>2]:e=>D[e>>2];default:throw TypeError(`invalid integer width (${t}): ${e}`)}},Ft=(e,t,n,r,i)=>{t=H(t);let a=r===0,o=e=>e;if(a){var s=32-8*n;o=e=>e<<s>>>s,i=o(i)}G(e,{name:t,fromWireType:o,toWireType:(e,t)=>t,readValueFromPointer:Pt(t,n,r!==0),destructorFunction:null})},It=(e,t,n)=>{let r=(e,t)=>{let n=0;return{next(){if(n>=e)return{done:!0};let r=n;return n++,{value:t(r),done:!1}},[Symbol.iterator](){return this}}};e[Symbol.iterator]||(e[Symbol.iterator]=function(){let e=this[t]();return r(e,e=>this[n](e))})},Lt=(e,t,n,r)=>{n=H(n),r=H(r),V([],[e,t],e=>{let t=e[0];return It(t.registeredClass.instancePrototype,n,r),[]})},Rt=(e,t,n)=>{var r=[Int8Array,Uint8Array,Int16Array,Uint16Array,Int32Array,Uint32Array,Float32Array,Float64Array][t];function i(e){var t=D[e>>2],n=D[e+4>>2];return new r(T.buffer,n,t)}n=H(n),G(e,{name:n,fromWireType:i,readValueFromPointer:i},{ignoreDuplicateRegistrations:!0})},zt=Object.assign({optional:!0},kt),Bt=(e,t)=>{G(e,zt)},Vt=(e,t,n,r)=>{if(!(r>0))return 0;for(var i=n,a=n+r-1,o=0;o<e.length;++o){var s=e.codePointAt(o);if(s<=127){if(n>=a)break;t[n++]=s}else if(s<=2047){if(n+1>=a)break;t[n++]=192|s>>6,t[n++]=128|s&63}else if(s<=65535){if(n+2>=a)break;t[n++]=224|s>>12,t[n++]=128|s>>6&63,t[n++]=128|s&63}else{if(n+3>=a)break;t[n++]=240|s>>18,t[n++]=128|s>>12&63,t[n++]=128|s>>6&63,t[n++]=128|s&63,o++}}return t[n]=0,n-i},Ht=(e,t,n)=>Vt(e,O,t,n),Ut=e=>{for(var t=0,n=0;n<e.length;++n){var r=e.charCodeAt(n);r<=127?t++:r<=2047?t+=2:r>=55296&&r<=57343?(t+=4,++n):t+=3}return t},Wt=globalThis.TextDecoder&&new TextDecoder,Gt=(e,t,n,r)=>{var i=t+n;if(r)return i;for(;e[t]&&!(t>=i);)++t;return t},Kt=function(e){let t=arguments.length>1&&arguments[1]!==void 0?arguments[1]:0,n=arguments.length>2?arguments[2]:void 0,r=arguments.length>3?arguments[3]:void 0;var i=Gt(e,t,n,r);if(i-t>16&&e.buffer&&Wt)return Wt.decode(e.subarray(t,i));for(var a=``;t<i;){var o=e[t++];if(!(o&128)){a+=String.fromCharCode(o);continue}var s=e[t++]&63;if((o&224)==192){a+=String.fromCharCode((o&31)<<6|s);continue}var c=e[t++]&63;if(o=(o&240)==224?(o&15)<<12|s<<6|c:(o&7)<<18|s<<12|c<<6|e[t++]&63,o<65536)a+=String.fromCharCode(o);else{var l=o-65536;a+=String.fromCharCode(55296|l>>10,56320|l&1023)}}return a},qt=(e,t,n)=>e?Kt(O,e,t,n):``,Jt=(e,t)=>{t=H(t);var n=!0;G(e,{name:t,fromWireType(e){var t=D[e>>2],r=e+4,i;if(n)i=qt(r,t,!0);else{i=``;for(var a=0;a<t;++a)i+=String.fromCharCode(O[r+a])}return Z(e),i},toWireType(e,t){t instanceof ArrayBuffer&&(t=new Uint8Array(t));var r,i=typeof t==`string`;i||ArrayBuffer.isView(t)&&t.BYTES_PER_ELEMENT==1||W(`Cannot pass non-string to std::string`),r=n&&i?Ut(t):t.length;var a=Tn(4+r+1),o=a+4;if(D[a>>2]=r,i){if(n)Ht(t,o,r+1);else for(var s=0;s<r;++s){var c=t.charCodeAt(s);c>255&&(Z(a),W(`String has UTF-16 code units that do not fit in 8 bits`)),O[o+s]=c}}else O.set(t,o);return e!==null&&e.push(Z,a),a},readValueFromPointer:I,destructorFunction(e){Z(e)}})},Yt=globalThis.TextDecoder?new TextDecoder(`utf-16le`):void 0,Xt=(e,t,n)=>{var r=e>>1,i=Gt(E,r,t/2,n);if(i-r>16&&Yt)return Yt.decode(E.subarray(r,i));for(var a=``,o=r;o<i;++o){var s=E[o];a+=String.fromCharCode(s)}return a},Zt=(e,t,n)=>{if(n!=null||(n=2147483647),n<2)return 0;n-=2;for(var r=t,i=n<e.length*2?n/2:e.length,a=0;a<i;++a){var o=e.charCodeAt(a);C[t>>1]=o,t+=2}return C[t>>1]=0,t-r},Qt=e=>e.length*2,$t=(e,t,n)=>{for(var r=``,i=e>>2,a=0;!(a>=t/4);a++){var o=D[i+a];if(!o&&!n)break;r+=String.fromCodePoint(o)}return r},en=(e,t,n)=>{if(n!=null||(n=2147483647),n<4)return 0;for(var r=t,i=r+n-4,a=0;a<e.length;++a){var o=e.codePointAt(a);if(o>65535&&a++,w[t>>2]=o,t+=4,t+4>i)break}return w[t>>2]=0,t-r},tn=e=>{for(var t=0,n=0;n<e.length;++n)e.codePointAt(n)>65535&&n++,t+=4;return t},nn=(e,t,n)=>{n=H(n);var r,i,a;t===2?(r=Xt,i=Zt,a=Qt):(r=$t,i=en,a=tn),G(e,{name:n,fromWireType:e=>{var n=D[e>>2],i=r(e+4,n*t,!0);return Z(e),i},toWireType:(e,r)=>{typeof r!=`string`&&W(`Cannot pass non-string to C++ string type ${n}`);var o=a(r),s=Tn(4+o+t);return D[s>>2]=o/t,i(r,s+4,o+t),e!==null&&e.push(Z,s),s},readValueFromPointer:I,destructorFunction(e){Z(e)}})},rn=(e,t,n,r,i,a)=>{F[e]={name:H(t),rawConstructor:J(n,r),rawDestructor:J(i,a),fields:[]}},an=(e,t,n,r,i,a,o,s,c,l)=>{F[e].fields.push({fieldName:H(t),getterReturnType:n,getter:J(r,i),getterContext:a,setterArgumentType:o,setter:J(s,c),setterContext:l})},on=(e,t)=>{t=H(t),G(e,{isVoid:!0,name:t,fromWireType:()=>void 0,toWireType:(e,t)=>void 0})},sn=[],cn=e=>{var t=sn.length;return sn.push(e),t},ln=(e,t)=>{var n=R[e];return n===void 0&&W(`${t} has unknown type ${vt(e)}`),n},un=(e,t)=>{for(var n=Array(e),r=0;r<e;++r)n[r]=ln(D[t+r*4>>2],`parameter ${r}`);return n},dn=(e,t,n)=>{var r=[],i=e(r,n);return r.length&&(D[t>>2]=X.toHandle(r)),i},fn={},pn=e=>{var t=fn[e];return t===void 0?H(e):t},mn=(e,t,n)=>{var[r,...i]=un(e,t),a=r.toWireType.bind(r),o=i.map(e=>e.readValueFromPointer.bind(e));e--;var s=Array(e);return cn(We(`methodCaller<(${i.map(e=>e.name)}) => ${r.name}>`,(t,r,i,c)=>{for(var l=0,u=0;u<e;++u)s[u]=o[u](c+l),l+=8;var d;switch(n){case 0:d=X.toValue(t).apply(null,s);break;case 2:d=Reflect.construct(X.toValue(t),s);break;case 3:d=s[0];break;case 1:d=X.toValue(t)[pn(r)](...s)}return dn(a,i,d)}))},hn=e=>e?(e=pn(e),X.toHandle(globalThis[e])):X.toHandle(globalThis),gn=e=>{e>9&&(Y[e+1]+=1)},_n=(e,t,n,r,i)=>sn[e](t,n,r,i),vn=e=>{De(X.toValue(e)),Ot(e)},yn=()=>2147483648,bn=(e,t)=>Math.ceil(e/t)*t,xn=e=>{var t=(e-Fn.buffer.byteLength+65535)/65536|0;try{return Fn.grow(t),y(),1}catch{}},Sn=e=>{var t=O.length;e>>>=0;var n=yn();if(e>n)return!1;for(var r=1;r<=4;r*=2){var i=t*(1+.2/r);if(i=Math.min(i,e+100663296),xn(Math.min(n,bn(Math.max(e,i),65536))))return!0}return!1},Cn=e=>e;if(He(),lt(),i.noExitRuntime&&i.noExitRuntime,i.print&&i.print,i.printErr&&(p=i.printErr),i.wasmBinary&&(m=i.wasmBinary),i.arguments&&i.arguments,i.thisProgram&&i.thisProgram,i.preInit)for(typeof i.preInit==`function`&&(i.preInit=[i.preInit]);i.preInit.length>0;)i.preInit.shift()();var wn,Z,Tn,En,Q,Dn,On,kn,An,jn,Mn,Nn,Pn,Fn,In;function Ln(e){wn=e.sa,Z=i._free=e.ta,Tn=i._malloc=e.va,En=e.wa,Q=e.xa,Dn=e.ya,On=e.za,kn=e.Aa,An=e.Ba,jn=e.Ca,Mn=e.Da,Nn=ft.viijjijjjjjj=e.Ea,Pn=ft.iiijj=e.Fa,Fn=e.qa,In=e.ua}var Rn={r:ge,J:_e,a:be,i:xe,l:Se,T:Ce,q:we,e:Te,Z:Ee,na:ke,Y:Ae,ha:Me,la:bt,ka:wt,E:Et,fa:At,U:Mt,V:Nt,x:Ft,ja:Lt,s:Rt,ma:Bt,ga:Jt,P:nn,F:rn,oa:an,ia:on,I:mn,pa:Ot,C:hn,Q:gn,H:_n,aa:vn,_:Sn,da:ar,S:cr,z:mr,K:Kn,b:Vn,A:sr,ba:fr,d:Un,M:pr,h:Gn,j:Qn,p:$n,N:or,w:nr,O:tr,B:rr,W:yr,c:qn,m:zn,$:hr,g:Hn,R:lr,L:_r,f:Wn,G:gr,k:Bn,ca:ur,n:er,u:Yn,D:ir,y:Zn,t:dr,o:Jn,ea:Xn,X:vr,v:Cn};function zn(e,t){var n=j();try{q(e)(t)}catch(e){if(A(n),e!==e+0)throw e;Q(1,0)}}function Bn(e,t,n,r,i){var a=j();try{q(e)(t,n,r,i)}catch(e){if(A(a),e!==e+0)throw e;Q(1,0)}}function Vn(e,t){var n=j();try{return q(e)(t)}catch(e){if(A(n),e!==e+0)throw e;Q(1,0)}}function Hn(e,t,n){var r=j();try{q(e)(t,n)}catch(e){if(A(r),e!==e+0)throw e;Q(1,0)}}function Un(e,t,n){var r=j();try{return q(e)(t,n)}catch(e){if(A(r),e!==e+0)throw e;Q(1,0)}}function Wn(e,t,n,r){var i=j();try{q(e)(t,n,r)}catch(e){if(A(i),e!==e+0)throw e;Q(1,0)}}function Gn(e,t,n,r){var i=j();try{return q(e)(t,n,r)}catch(e){if(A(i),e!==e+0)throw e;Q(1,0)}}function Kn(e,t,n,r,i,a){var o=j();try{return q(e)(t,n,r,i,a)}catch(e){if(A(o),e!==e+0)throw e;Q(1,0)}}function qn(e){var t=j();try{q(e)()}catch(e){if(A(t),e!==e+0)throw e;Q(1,0)}}function Jn(e,t,n,r,i,a,o,s,c,l,u){var d=j();try{q(e)(t,n,r,i,a,o,s,c,l,u)}catch(e){if(A(d),e!==e+0)throw e;Q(1,0)}}function Yn(e,t,n,r,i,a,o){var s=j();try{q(e)(t,n,r,i,a,o)}catch(e){if(A(s),e!==e+0)throw e;Q(1,0)}}function Xn(e,t,n,r,i,a,o,s,c,l,u,d,f,p,m,h,g){var _=j();try{q(e)(t,n,r,i,a,o,s,c,l,u,d,f,p,m,h,g)}catch(e){if(A(_),e!==e+0)throw e;Q(1,0)}}function Zn(e,t,n,r,i,a,o,s,c){var l=j();try{q(e)(t,n,r,i,a,o,s,c)}catch(e){if(A(l),e!==e+0)throw e;Q(1,0)}}function Qn(e,t,n,r,i){var a=j();try{return q(e)(t,n,r,i)}catch(e){if(A(a),e!==e+0)throw e;Q(1,0)}}function $n(e,t,n,r,i,a){var o=j();try{return q(e)(t,n,r,i,a)}catch(e){if(A(o),e!==e+0)throw e;Q(1,0)}}function er(e,t,n,r,i,a){var o=j();try{q(e)(t,n,r,i,a)}catch(e){if(A(o),e!==e+0)throw e;Q(1,0)}}function tr(e,t,n,r,i,a,o,s){var c=j();try{return q(e)(t,n,r,i,a,o,s)}catch(e){if(A(c),e!==e+0)throw e;Q(1,0)}}function nr(e,t,n,r,i,a,o){var s=j();try{return q(e)(t,n,r,i,a,o)}catch(e){if(A(s),e!==e+0)throw e;Q(1,0)}}function rr(e,t,n,r,i,a,o,s,c){var l=j();try{return q(e)(t,n,r,i,a,o,s,c)}catch(e){if(A(l),e!==e+0)throw e;Q(1,0)}}function ir(e,t,n,r,i,a,o,s){var c=j();try{q(e)(t,n,r,i,a,o,s)}catch(e){if(A(c),e!==e+0)throw e;Q(1,0)}}function ar(e,t,n){var r=j();try{return q(e)(t,n)}catch(e){if(A(r),e!==e+0)throw e;Q(1,0)}}function or(e,t,n,r,i,a,o){var s=j();try{return q(e)(t,n,r,i,a,o)}catch(e){if(A(s),e!==e+0)throw e;Q(1,0)}}function sr(e,t,n,r){var i=j();try{return q(e)(t,n,r)}catch(e){if(A(i),e!==e+0)throw e;Q(1,0)}}function cr(e,t,n,r){var i=j();try{return q(e)(t,n,r)}catch(e){if(A(i),e!==e+0)throw e;Q(1,0)}}function lr(e,t,n,r,i,a,o,s,c){var l=j();try{q(e)(t,n,r,i,a,o,s,c)}catch(e){if(A(l),e!==e+0)throw e;Q(1,0)}}function ur(e,t,n,r,i,a,o,s){var c=j();try{q(e)(t,n,r,i,a,o,s)}catch(e){if(A(c),e!==e+0)throw e;Q(1,0)}}function dr(e,t,n,r,i,a,o,s,c,l){var u=j();try{q(e)(t,n,r,i,a,o,s,c,l)}catch(e){if(A(u),e!==e+0)throw e;Q(1,0)}}function fr(e,t,n){var r=j();try{return q(e)(t,n)}catch(e){if(A(r),e!==e+0)throw e;Q(1,0)}}function pr(e,t,n,r,i){var a=j();try{return q(e)(t,n,r,i)}catch(e){if(A(a),e!==e+0)throw e;Q(1,0)}}function mr(e,t,n,r,i,a){var o=j();try{return q(e)(t,n,r,i,a)}catch(e){if(A(o),e!==e+0)throw e;Q(1,0)}}function hr(e,t,n){var r=j();try{q(e)(t,n)}catch(e){if(A(r),e!==e+0)throw e;Q(1,0)}}function gr(e,t,n,r,i,a,o){var s=j();try{q(e)(t,n,r,i,a,o)}catch(e){if(A(s),e!==e+0)throw e;Q(1,0)}}function _r(e,t,n,r,i){var a=j();try{q(e)(t,n,r,i)}catch(e){if(A(a),e!==e+0)throw e;Q(1,0)}}function vr(e,t,n,r,i,a,o,s,c,l,u,d,f,p,m,h,g,_,v,y){var ee=j();try{Nn(e,t,n,r,i,a,o,s,c,l,u,d,f,p,m,h,g,_,v,y)}catch(e){if(A(ee),e!==e+0)throw e;Q(1,0)}}function yr(e,t,n,r,i,a,o){var s=j();try{return Pn(e,t,n,r,i,a,o)}catch(e){if(A(s),e!==e+0)throw e;Q(1,0)}}function br(){ee();function e(){var e,t;i.calledRun=!0,!h&&(te(),(e=g)==null||e(i),(t=i.onRuntimeInitialized)==null||t.call(i),ne())}i.setStatus?(i.setStatus(`Running...`),setTimeout(()=>{setTimeout(()=>i.setStatus(``),1),e()},1)):e()}var $=await ce();return br(),t=v?i:new Promise((e,t)=>{g=e,_=t}),t}var N={...E,formats:[...E.formats]};function _e(e){return A(ge,e)}function ve(){return j(ge)}function P(e){return _e({overrides:e,equalityFn:Object.is,fireImmediately:!0})}function ye(e){_e({overrides:e,equalityFn:Object.is,fireImmediately:!1})}async function be(e,t){return he(ge,e,t)}async function xe(e,t){return be(e,t)}async function Se(e,t){return be(e,t)}return e.BARCODE_FORMATS=a,e.BARCODE_HRI_LABELS=r,e.BARCODE_META_FORMATS=i,e.BARCODE_SYMBOLOGIES=s,e.BINARIZERS=ne,e.CHARACTER_SETS=S,e.CONTENT_TYPES=ae,e.CREATABLE_BARCODE_FORMATS=p,e.EAN_ADD_ON_SYMBOLS=ce,e.GS1_BARCODE_FORMATS=m,e.INDUSTRIAL_BARCODE_FORMATS=g,e.LINEAR_BARCODE_FORMATS=c,e.MATRIX_BARCODE_FORMATS=u,e.READABLE_BARCODE_FORMATS=f,e.RETAIL_BARCODE_FORMATS=h,e.TEXT_MODES=T,e.ZXING_CPP_COMMIT=fe,e.ZXING_WASM_SHA256=`e8af31edb56d0522f4de74495839385ef019ba8bc90d38e5ecb2f18795d86fb2`,e.ZXING_WASM_VERSION=de,e.barcodeFormats=o,e.binarizers=b,e.characterSets=re,e.contentTypes=oe,e.defaultReaderOptions=N,e.eanAddOnSymbols=C,e.encodeFormat=ee,e.encodeFormats=te,e.formatToLabel=y,e.formatToSymbology=v,e.getZXingModule=P,e.linearBarcodeFormats=l,e.matrixBarcodeFormats=d,e.prepareZXingModule=_e,e.purgeZXingModule=ve,e.readBarcodes=be,e.readBarcodesFromImageData=Se,e.readBarcodesFromImageFile=xe,e.setZXingModuleOverrides=ye,e.symbologyToFormats=_,e.textModes=le,e})({});
// The grid of a symbol that the library does not find: when one corner mark is under dirt or glare, or the label is bent
// round a wire, the other marks and the regular pattern still say where each module lies. What is found is drawn anew,
// flat and clean, for the library to read. Pictures are grey, one byte a pixel, {pixels, width, height}.

// averaged returns the mean light of the square around each pixel, half pixels to each side; beyond the edge lies what lies
// at the edge.
function averaged({ pixels, width, height }, half) {
  const out = new Uint8Array(pixels.length), columns = new Uint32Array(width), part = 1 / (2 * half + 1) ** 2;
  for (let y = -half; y <= half; y++) {
    const row = Math.min(Math.max(y, 0), height - 1) * width;
    for (let x = 0; x < width; x++) columns[x] += pixels[row + x];
  }
  for (let y = 0, i = 0; y < height; y++) {
    let sum = 0;
    for (let x = -half; x <= half; x++) sum += columns[Math.min(Math.max(x, 0), width - 1)];
    for (let x = 0; x < width; x++) {
      out[i++] = sum * part + 0.001; // what is whole stays whole
      sum += columns[Math.min(x + half + 1, width - 1)] - columns[Math.max(x - half, 0)];
    }
    const low = Math.min(y + half + 1, height - 1) * width, top = Math.max(y - half, 0) * width;
    for (let x = 0; x < width; x++) columns[x] += pixels[low + x] - pixels[top + x];
  }
  return { pixels: out, width, height };
}

// smoothed returns a picture with less noise and, where sharp is above 0, with its edges that many times stronger, which
// undoes some blur.
function smoothed(picture, sharp) {
  const near = averaged(picture, 1);
  if (!sharp) return near;
  const around = averaged(picture, 3), pixels = new Uint8ClampedArray(near.pixels.length);
  for (let i = 0; i < pixels.length; i++) pixels[i] = near.pixels[i] + sharp * (near.pixels[i] - around.pixels[i]);
  return { pixels, width: near.width, height: near.height };
}

// parted returns black where a picture is darker than around, half pixels to each side, else white.
function parted({ pixels, width, height }, half) {
  const out = new Uint8Array(pixels.length), around = averaged({ pixels, width, height }, half).pixels;
  for (let i = 0; i < out.length; i++) out[i] = pixels[i] < around[i] ? 0 : 255;
  return { pixels: out, width, height };
}

// marksOf returns what looks like corner marks, the surest first, from a picture that was parted and its light, at least of this contrast: places with five runs of 1, 1, 3, 1, 1 in the row and
// in the column. A mark has a middle, the width of its cut, its colour, and in how many rows it was seen.
function marksOf({ pixels, width, height }, light, contrast) {
  const marks = [];
  const fits = (a, b, c, d, e) => {
    const unit = (a + b + c + d + e) / 7, off = unit * 0.75 + 0.5;
    return unit >= 1.5 && Math.abs(a - unit) < off && Math.abs(b - unit) < off && Math.abs(d - unit) < off &&
      Math.abs(e - unit) < off && Math.abs(c - 3 * unit) < 1.5 * off;
  };
  // The column's cut through x, y: its middle and width, or nothing.
  const column = (x, y, most) => {
    const color = pixels[y * width + x], runs = [0, 0, 0, 0, 0];
    const walk = (step) => {
      let j = y;
      for (let k = 2; k < 5; k++) {
        for (const want = k === 3 ? 255 - color : color; j >= 0 && j < height && pixels[j * width + x] === want; j += step) {
          if (++runs[step > 0 ? k : 4 - k] > most) return j;
        }
      }
      return j;
    };
    const low = walk(1), top = walk(-1);
    runs[2]--; // the middle pixel was counted twice
    return fits(...runs) ? { y: (low + top) / 2, cut: low - top - 1 } : null;
  };
  for (let y = 1; y < height; y++) {
    let a = 0, b = 0, c = 0, d = 0, e = 0, f = 0; // where the last runs began
    for (let x = 1, i = y * width + 1; x <= width; x++, i++) {
      if (x < width && pixels[i] === pixels[i - 1]) continue;
      (a = b), (b = c), (c = d), (d = e), (e = f), (f = x);
      if (d - c <= b - a || d - c <= f - e || !fits(b - a, c - b, d - c, e - d, f - e)) continue;
      const middle = (c + d) >> 1, cut = f - a, line = y * width;
      if (Math.abs(light[line + middle] - light[line + ((b + c) >> 1)]) < contrast) continue;
      const down = column(middle, y, cut);
      if (!down || down.cut > 2 * cut || cut > 2 * down.cut) continue;
      const mark = { x: (c + d - 1) / 2, y: down.y, cut: (cut + down.cut) / 2, dark: pixels[y * width + middle] === 0, seen: 1 };
      const same = marks.find((m) => m.dark === mark.dark && Math.hypot(m.x - mark.x, m.y - mark.y) < 0.3 * mark.cut);
      if (!same) marks.push(mark);
      else {
        same.seen++;
        for (const k of ["x", "y", "cut"]) same[k] += (mark[k] - same[k]) / same.seen;
      }
    }
  }
  return marks.sort((a, b) => b.seen - a.seen).slice(0, 8);
}

// fixedOf returns the modules of every symbol of n modules a side that do not depend on its text, row by row: 1 dark,
// -1 light, 0 for what depends on it. Source: ISO/IEC 18004, 6.3, for versions 1 to 6.
const fixedOf = (() => {
  const kept = [];
  return (n) => {
    if (kept[n]) return kept[n];
    const fixed = new Int8Array(n * n);
    const square = (row, column, side, value) => {
      for (let i = Math.max(row, 0); i < Math.min(row + side, n); i++) {
        for (let j = Math.max(column, 0); j < Math.min(column + side, n); j++) fixed[i * n + j] = value;
      }
    };
    for (let i = 8; i < n - 8; i++) fixed[6 * n + i] = fixed[i * n + 6] = i % 2 ? -1 : 1;
    for (const [i, j] of [[0, 0], [0, n - 7], [n - 7, 0]]) {
      square(i - 1, j - 1, 9, -1), square(i, j, 7, 1), square(i + 1, j + 1, 5, -1), square(i + 2, j + 2, 3, 1);
    }
    if (n > 21) square(n - 9, n - 9, 5, 1), square(n - 8, n - 8, 3, -1), square(n - 7, n - 7, 1, 1);
    return (kept[n] = fixed);
  };
})();

// A shape says where a symbol lies: the pixels of its four corners, clockwise from the top left (0 to 7), how far the middle
// of its rows and columns bows out, in pixels (8 to 11), and how much their modules narrow to the edges (12, 13).
//
// placesOf returns the pixels of the middles of all modules, x and y in turn.
function placesOf(shape, n, places) {
  const [x0, y0, x1, y1, x2, y2, x3, y3, rowX, rowY, columnX, columnY, rowNarrow, columnNarrow] = shape;
  // The projective map of a square. Source: Heckbert, Fundamentals of texture mapping, 1989, 2.2.3.
  const sx = x0 - x1 + x2 - x3, sy = y0 - y1 + y2 - y3, dx1 = x1 - x2, dx2 = x3 - x2, dy1 = y1 - y2, dy2 = y3 - y2;
  const det = dx1 * dy2 - dx2 * dy1, g = (sx * dy2 - sy * dx2) / det, h = (dx1 * sy - dy1 * sx) / det;
  const a = x1 - x0 + g * x1, b = x3 - x0 + h * x3, d = y1 - y0 + g * y1, e = y3 - y0 + h * y3;
  for (let i = 0, at = 0; i < n; i++) {
    const t = (i + 0.5) / n - 0.5, bulge = 1 - 4 * t * t, v = t + 0.5 + columnNarrow * t * bulge;
    for (let j = 0; j < n; j++) {
      const s = (j + 0.5) / n - 0.5, swell = 1 - 4 * s * s, u = s + 0.5 + rowNarrow * s * swell, w = g * u + h * v + 1;
      places[at++] = (a * u + b * v + x0) / w + rowX * swell + columnX * bulge;
      places[at++] = (d * u + e * v + y0) / w + rowY * swell + columnY * bulge;
    }
  }
  return places;
}

// fitOf tells how well a shape fits soft, a picture in black and white with soft edges: the fixed modules must have their
// colour, and the others have one colour at their middle, whichever. 1 is perfect. dark is the colour of the marks.
function fitOf(soft, shape, n, dark, all, places) {
  const { pixels, width, height } = soft, fixed = fixedOf(n), sign = dark ? -1 : 1;
  placesOf(shape, n, places);
  let sum = 0, most = 0;
  for (let k = 0; k < fixed.length; k++) {
    if (!fixed[k] && !all) continue;
    const x = places[2 * k] | 0, y = places[2 * k + 1] | 0;
    const value = x >= 0 && y >= 0 && x < width && y < height ? pixels[y * width + x] / 127.5 - 1 : 0;
    if (fixed[k]) sum += 2 * sign * fixed[k] * value, most += 2;
    else sum += Math.abs(value), most++;
  }
  return sum / most;
}

// guessesOf returns shapes that two or three marks may belong to, the likeliest first.
function guessesOf(soft, marks) {
  const guesses = [], places = new Float32Array(2 * 41 * 41);
  const guess = (a, b, c, dark, unit) => { // the middles of the marks top left, top right, bottom left
    const ux = b.x - a.x, uy = b.y - a.y, vx = c.x - a.x, vy = c.y - a.y;
    const about = ((Math.hypot(ux, uy) + Math.hypot(vx, vy)) / 2 / unit + 7 - 17) / 4;
    for (let version = Math.max(1, Math.round(about - 0.8)); version <= Math.min(6, Math.round(about + 0.6)); version++) {
      const n = 17 + 4 * version, p = 3.5 / (n - 7), q = 1 + p;
      const corner = (s, t) => [a.x + s * ux + t * vx, a.y + s * uy + t * vy];
      const shape = [...corner(-p, -p), ...corner(q, -p), ...corner(q, q), ...corner(-p, q), 0, 0, 0, 0, 0, 0];
      guesses.push({ shape, n, dark, fit: fitOf(soft, shape, n, dark, false, places) });
    }
  };
  for (const a of marks) {
    for (const b of marks) {
      if (a === b || a.dark !== b.dark || a.cut > 1.7 * b.cut || b.cut > 1.7 * a.cut) continue;
      const dx = b.x - a.x, dy = b.y - a.y, far = Math.hypot(dx, dy), cut = (a.cut + b.cut) / 14;
      // A turned mark is cut longer than it is wide.
      const side = (cut * Math.max(Math.abs(dx), Math.abs(dy))) / far;
      const slant = (cut * Math.max(Math.abs(dx + dy), Math.abs(dx - dy))) / far / Math.SQRT2;
      if (far < 10 * side || far > 60 * side) continue;
      const at = (s, t) => ({ x: a.x + s * dx - t * dy, y: a.y + s * dy + t * dx }); // along a to b, and to the right of it
      guess(a, b, at(0, 1), a.dark, side); // top left and top right
      guess(a, at(0, -1), b, a.dark, side); // top left and bottom left
      guess(at(0.5, -0.5), a, b, a.dark, slant); // bottom left and top right, with the top left on one side
      for (const c of marks) {
        if (c === a || c === b || c.dark !== a.dark) continue;
        const ex = c.x - a.x, ey = c.y - a.y, other = Math.hypot(ex, ey), turn = (dx * ey - dy * ex) / far / other;
        if (turn > 0.5 && other < 2 * far && far < 2 * other) guess(a, b, c, a.dark, side);
      }
    }
  }
  return guesses.sort((a, b) => b.fit - a.fit);
}

// settled moves a guess, one number of its shape after the other, until it fits best.
function settled(soft, { shape, n, dark }) {
  const best = shape.slice(), places = new Float32Array(2 * n * n);
  const unit = (Math.hypot(best[2] - best[0], best[3] - best[1]) + Math.hypot(best[6] - best[0], best[7] - best[1])) / 2 / n;
  let fit = fitOf(soft, best, n, dark, true, places);
  for (const step of [1, 1, 0.5, 0.5, 0.25]) {
    for (let k = 0; k < best.length; k++) {
      const by = k < 12 ? step * unit : step * 0.1, was = best[k];
      for (const to of [was + by, was - by]) {
        best[k] = to;
        const now = fitOf(soft, best, n, dark, true, places);
        if (now > fit) {
          fit = now;
          break;
        }
        best[k] = was;
      }
    }
  }
  return { shape: best, n, dark, fit };
}

// modulesOf tells for each module of a shape whether it is dark: darker than the middle between the dark and the light ones
// around it, three to each side.
function modulesOf({ pixels, width, height }, { shape, n, dark }) {
  const places = placesOf(shape, n, new Float32Array(2 * n * n)), fixed = fixedOf(n);
  const light = new Float32Array(n * n), is = new Uint8Array(n * n);
  for (let k = 0; k < light.length; k++) {
    const x = places[2 * k] - 0.5, y = places[2 * k + 1] - 0.5, x0 = Math.floor(x), y0 = Math.floor(y), fx = x - x0, fy = y - y0;
    if (x0 < 0 || y0 < 0 || x0 + 1 >= width || y0 + 1 >= height) return null;
    const i = y0 * width + x0;
    light[k] = (pixels[i] * (1 - fx) + pixels[i + 1] * fx) * (1 - fy) + (pixels[i + width] * (1 - fx) + pixels[i + width + 1] * fx) * fy;
    if (!dark) light[k] = 255 - light[k];
  }
  for (let round = 0; round < 3; round++) {
    const before = is.slice();
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        let sum = [0, 0], count = [0, 0], all = 0;
        for (let y = Math.max(i - 3, 0); y <= Math.min(i + 3, n - 1); y++) {
          for (let x = Math.max(j - 3, 0); x <= Math.min(j + 3, n - 1); x++) {
            const k = y * n + x, color = fixed[k] ? +(fixed[k] > 0) : before[k];
            all += light[k];
            if (round || fixed[k]) (sum[color] += light[k]), count[color]++;
          }
        }
        const around = (Math.min(i + 3, n - 1) - Math.max(i - 3, 0) + 1) * (Math.min(j + 3, n - 1) - Math.max(j - 3, 0) + 1);
        const middle = round && count[0] && count[1] ? (sum[0] / count[0] + sum[1] / count[1]) / 2 : all / around;
        is[i * n + j] = light[i * n + j] < middle;
      }
    }
  }
  return is.map((v, k) => (fixed[k] ? fixed[k] > 0 : v));
}

// drawn returns a clean picture of modules, with the white border that belongs to it.
function drawn(modules, n) {
  const border = 4, each = 3, side = (n + 2 * border) * each, pixels = new Uint8Array(side * side).fill(255);
  for (let y = 0; y < n * each; y++) {
    for (let x = 0; x < n * each; x++) {
      if (modules[((y / each) | 0) * n + ((x / each) | 0)]) pixels[(y + border * each) * side + x + border * each] = 0;
    }
  }
  return { pixels, width: side, height: side };
}

// symbolsOf returns clean pictures of the symbols that may lie in a picture, the likeliest first, at most so many; each is
// made when it is asked for. sharp is that of smoothed, half that of parted.
function* symbolsOf(picture, sharp, half, most) {
  const smooth = smoothed(picture, sharp), bits = parted(smooth, half), soft = averaged(bits, 1);
  // Grain makes patterns of its own where there is nothing to see. Source: our choice, more than the grain of a dim picture
  // makes often, and less than the faintest marks have.
  const marks = marksOf(bits, smooth.pixels, 5 + 3 * sharp);
  for (const guess of guessesOf(soft, marks).slice(0, most)) {
    const shape = settled(soft, guess), modules = modulesOf(smooth, shape);
    if (modules) yield drawn(modules, shape.n);
  }
}

// Messages of the page, in order: {wasm} once, the bytes of reader.wasm; then for each picture {id, width, height, data,
// budget}, data its RGBA bytes, budget how many milliseconds it may take, 0 for as many as it needs. Answers: {ready},
// {id, texts}, or {id, error}; {error} if the reader did not start.
self.onmessage = async (event) => {
  const m = event.data;
  try {
    if (m.wasm) {
      await ZXingWASM.getZXingModule({ wasmBinary: m.wasm });
      self.postMessage({ ready: true });
      return;
    }
    const picture = { width: m.width, height: m.height, data: new Uint8ClampedArray(m.data) };
    self.postMessage({ id: m.id, texts: await textsOf(picture, m.budget || Infinity) });
  } catch (e) {
    self.postMessage({ id: m.id, error: String(e) });
  }
};

// tryRotate is for codes of bars: the library finds these at any angle.
const plainly = { formats: ["QRCode"], tryHarder: true, tryRotate: false, maxNumberOfSymbols: 8, textMode: "Plain" };
// For pictures that are drawn clean, and for those in black and white.
const cleanly = {
  formats: ["QRCode"], textMode: "Plain", isPure: true, maxNumberOfSymbols: 1, binarizer: "FixedThreshold",
  tryHarder: false, tryRotate: false, tryInvert: false, tryDownscale: false,
};
const inBlack = { ...plainly, binarizer: "FixedThreshold", tryDownscale: false };

async function read(picture, options) {
  return (await ZXingWASM.readBarcodesFromImageData(picture, options)).map((code) => code.text);
}

// The middle of a picture is where a person holds a code. Source: our choice, two thirds of the camera's square, so that a
// step takes about as long as the plain reading; the whole of it is read plainly.
const middle = 480;

// What is tried on the middle of a picture that could not be read plainly. Source: measured on the pictures of build/frames:
// of 120 that are not read plainly the first reads 92, all together 104; where the same pictures are drawn 1.6 times
// smaller, the first reads 72 of 151, all together 92, of which 16 are read by the doubled one alone.
const steps = [
  (picture, late) => readSymbols(picture, 2, 10, late),
  (picture) => read(colored(doubled(cropped(picture, 300))), { ...plainly, tryDownscale: false }), // small codes
  (picture, late) => readSymbols(picture, 0, 8, late),
  (picture, late) => readSymbols(picture, 0, 16, late),
  (picture) => read(colored(parted(picture, 7)), inBlack), // small spots of glare
];
const took = steps.map(() => 0); // milliseconds, at the last time
let turn = 0; // the step that the next picture begins with; a picture that is read starts anew

// textsOf reads a picture plainly, and then by one step, and by more as long as they are likely to keep to the budget. The
// pictures of a camera show the same code again and again, so the next one goes on where this one ended.
async function textsOf(picture, budget) {
  const began = performance.now(), late = (ms) => performance.now() - began + ms > budget;
  const plain = await read(picture, plainly);
  if (plain.length) {
    turn = 0;
    return plain;
  }
  const grey = greyOf(picture, middle);
  for (let done = 0; done < steps.length; done++) {
    if (done && late(took[turn])) return [];
    const now = turn, since = performance.now();
    turn = (turn + 1) % steps.length;
    const texts = await steps[now](grey, late);
    took[now] = performance.now() - since;
    if (texts.length) {
      turn = now; // what has read this code reads it in the next picture too
      return texts;
    }
  }
  return [];
}

// readSymbols reads the three likeliest symbols whose grid can be found.
async function readSymbols(picture, sharp, half, late) {
  for (const clean of symbolsOf(picture, sharp, half, 3)) {
    const texts = await read(colored(clean), cleanly);
    if (texts.length || late(0)) return texts;
  }
  return [];
}

// greyOf returns how light the square in the middle is, of this side or as large as there is. Source: ITU-R BT.601, its
// weights as parts of 256.
function greyOf({ data, width, height }, side) {
  const w = Math.min(side, width), h = Math.min(side, height), left = (width - w) >> 1, top = (height - h) >> 1;
  const pixels = new Uint8Array(w * h);
  for (let y = 0, i = 0; y < h; y++) {
    for (let x = 0, k = 4 * ((top + y) * width + left); x < w; x++, k += 4) {
      pixels[i++] = (77 * data[k] + 150 * data[k + 1] + 29 * data[k + 2]) >> 8;
    }
  }
  return { pixels, width: w, height: h };
}

// colored returns a grey picture as the library takes it.
function colored({ pixels, width, height }) {
  const data = new Uint8ClampedArray(4 * pixels.length), whole = new Uint32Array(data.buffer);
  for (let i = 0; i < pixels.length; i++) whole[i] = (pixels[i] * 0x10101) | 0xff000000;
  return { data, width, height };
}

// cropped returns the square in the middle, of this side or as large as there is.
function cropped({ pixels, width, height }, side) {
  const w = Math.min(side, width), h = Math.min(side, height), left = (width - w) >> 1, top = (height - h) >> 1;
  const out = new Uint8Array(w * h);
  for (let y = 0; y < h; y++) out.set(pixels.subarray((top + y) * width + left, (top + y) * width + left + w), y * w);
  return { pixels: out, width: w, height: h };
}

// doubled returns a picture of twice the size, its pixels in between blended.
function doubled({ pixels, width, height }) {
  const out = new Uint8Array(4 * width * height);
  for (let y = 0, i = 0; y < 2 * height; y++) {
    const near = (y >> 1) * width, next = Math.min(Math.max((y >> 1) + (y % 2 ? 1 : -1), 0), height - 1) * width;
    for (let x = 0; x < 2 * width; x++) {
      const l = x >> 1, r = Math.min(Math.max(l + (x % 2 ? 1 : -1), 0), width - 1);
      out[i++] = (9 * pixels[near + l] + 3 * (pixels[near + r] + pixels[next + l]) + pixels[next + r]) >> 4;
    }
  }
  return { pixels: out, width: 2 * width, height: 2 * height };
}
