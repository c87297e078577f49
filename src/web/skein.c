#include "routes.h"
#include "page.h"
bool skein_page(struct request *r, struct error *err)
{ (void)r; return error_set(err, ERR_MISSING, "there is no such page"); }
