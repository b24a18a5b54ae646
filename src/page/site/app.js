document.title = "bakeset";
