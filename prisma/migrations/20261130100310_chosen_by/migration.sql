-- AlterTable
ALTER TABLE "lot" ADD COLUMN     "key_id" UUID,
ADD COLUMN     "person_id" UUID;

-- AlterTable
ALTER TABLE "duty_rule_set" ADD COLUMN     "key_id" UUID,
ADD COLUMN     "person_id" UUID;

-- AddForeignKey
ALTER TABLE "lot" ADD CONSTRAINT "lot_person_id_fkey" FOREIGN KEY ("producer_id", "person_id") REFERENCES "person" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "lot" ADD CONSTRAINT "lot_key_id_fkey" FOREIGN KEY ("producer_id", "key_id") REFERENCES "api_key" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "duty_rule_set" ADD CONSTRAINT "duty_rule_set_person_id_fkey" FOREIGN KEY ("producer_id", "person_id") REFERENCES "person" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
ALTER TABLE "duty_rule_set" ADD CONSTRAINT "duty_rule_set_key_id_fkey" FOREIGN KEY ("producer_id", "key_id") REFERENCES "api_key" ("producer_id", "id") DEFERRABLE INITIALLY IMMEDIATE;
