kbgenFind("ffamily",{"halverin-h":["Halverin H","! "],"quillant-freearm":["Quillant free-arm","#"]})
