/* The yardstick of starting a program: one that needs the C library alone. */
int main(void)
{
    return 0;
}
